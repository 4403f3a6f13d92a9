/**
 * The door for readings. A pack is checked whole before anything is stored; the answer 200 follows the commit. A
 * stream is stored as it arrives, and its answer counts it.
 */
import { Hono, type MiddlewareHandler } from 'hono';
import { cellarStub } from '../storage/env.ts';
import { sensmlMediaType } from '../wire/sensml-read.ts';
import { admission, only } from './admission.ts';
import { requireMediaType } from './body.ts';
import { Refusal } from './fault.ts';
import type { HttpContext } from './http-context.ts';
import { packMediaTypes, readPack } from './reading-body.ts';
import { storePack } from './store-pack.ts';
import { takeStream } from './take-stream.ts';

/** Tells the cellar why a pack was refused, for the metrics; a pack that is taken costs nothing by it. */
const countRefused: MiddlewareHandler<HttpContext, '/:cellar/readings'> = async (context, next) => {
  await next();
  if (!(context.error instanceof Refusal)) return;
  const cellar = cellarStub(context.env, context.req.param('cellar'));
  await cellar.countRefusedPack(context.error.fault.kind);
};

export const readings = new Hono<HttpContext>()
  .use('/:cellar/readings', admission)
  .post('/:cellar/readings', only('sensor', 'keeper'), countRefused, async (context) => {
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
