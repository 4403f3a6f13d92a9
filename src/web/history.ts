/** A vessel's history over HTTP: what a logger has kept, filled in after the event. */
import { Hono } from 'hono';
import { admission, only } from './admission.ts';
import { requireMediaType } from './body.ts';
import { csvMediaType } from './csv-pack.ts';
import { csvQuery, listedQuery } from './csv-query.ts';
import { Refusal } from './fault.ts';
import type { HttpContext } from './http-context.ts';
import { parse } from './parse.ts';
import { takeHistory } from './take-history.ts';

export const history = new Hono<HttpContext>()
  .use('/:cellar/vessels/:vessel/history', admission)
  .post('/:cellar/vessels/:vessel/history', only('keeper'), async (context) => {
    const place = context.req.param();
    requireMediaType(context.req.raw, [csvMediaType]);
    const query = parse(csvQuery, listedQuery(context.req.url, ['leave-out']));
    const vessels = (await context.get('renew')()).vessels;
    if (!vessels.includes(place.vessel))
      throw new Refusal({ kind: 'not-found', what: 'vessel', name: place.vessel });
    return context.json(
      await takeHistory(context.env, place, context.req.raw, query, context.get('now')),
    );
  });
