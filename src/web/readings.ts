/**
 * The door for readings. A pack is checked whole before anything is stored; the answer 200 follows the commit. A
 * stream is stored as it arrives, and its answer counts it.
 */
import { Hono } from 'hono';
import { sensmlMediaType } from '../wire/sensml-read.ts';
import { admission, only } from './admission.ts';
import { requireMediaType } from './body.ts';
import { Refusal } from './fault.ts';
import type { HttpContext } from './http-context.ts';
import { packMediaTypes, readPack } from './reading-body.ts';
import { storePack } from './store-pack.ts';
import { takeStream } from './take-stream.ts';

export const readings = new Hono<HttpContext>()
  .use('/:cellar/readings', admission)
  .post('/:cellar/readings', only('sensor', 'keeper'), async (context) => {
    const type = requireMediaType(context.req.raw, [...packMediaTypes, sensmlMediaType]);
    const cellar = context.req.param('cellar');
    const sender = { admission: context.get('admission'), renew: context.get('renew') };
    if (type === sensmlMediaType)
      return context.json(await takeStream(context.env, cellar, context.req.raw, sender));
    const now = context.get('now');
    const pack = await readPack(context.req.raw, type, now);
    if (pack.length === 0) throw new Refusal({ kind: 'pack-without-readings' });
    return context.json(await storePack(context.env, cellar, pack, sender, now));
  });
