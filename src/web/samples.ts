/** Samples taken by hand, over HTTP: kept with the batch that is in the vessel. */
import { Hono } from 'hono';
import { admission, only } from './admission.ts';
import { sampleBody } from './contract.ts';
import type { HttpContext } from './http-context.ts';
import { described, noteAct } from './journal.ts';
import { parseBody } from './parse.ts';
import { takeSample } from './take-sample.ts';

export const samples = new Hono<HttpContext>()
  .use('/:cellar/vessels/:vessel/samples', admission)
  .post('/:cellar/vessels/:vessel/samples', only('operator', 'keeper'), async (context) => {
    const body = await parseBody(sampleBody, context.req.raw);
    const by = context.get('admission').grant.title;
    const taken = await takeSample(context.env, context.req.param(), body, by, context.get('now'));
    noteAct(context, { note: taken.note, facts: described(taken) });
    return context.json(taken, 201);
  });
