/** Batches over HTTP: list, start, status, stage, limits, deeds, end. */
import { Hono } from 'hono';
import { cellarStub, vesselStub } from '../storage/env.ts';
import { admission, only } from './admission.ts';
import { batchBody, deedBody, ownLimitsBody, stageBody } from './contract.ts';
import type { HttpContext } from './http-context.ts';
import { described, noteAct } from './journal.ts';
import { parseBody } from './parse.ts';
import {
  changeStage,
  endBatch,
  findBatch,
  recordDeed,
  setLimits,
  startBatch,
} from './run-batch.ts';

export const batches = new Hono<HttpContext>()
  .use('/:cellar/batches', admission)
  .use('/:cellar/batches/*', admission)
  .get('/:cellar/batches', only('viewer', 'operator', 'keeper'), async (context) =>
    context.json({
      batches: await cellarStub(context.env, context.req.param('cellar')).batches(),
    }),
  )
  .post('/:cellar/batches', only('operator', 'keeper'), async (context) => {
    const body = await parseBody(batchBody, context.req.raw);
    const cellar = context.req.param('cellar');
    const batch = await startBatch(
      context.env,
      cellar,
      body,
      context.get('admission').grant.title,
      context.get('now'),
    );
    noteAct(context, { about: batch.batch, facts: described(body) });
    return context.json(batch, 201, {
      location: `/v1/cellars/${cellar}/batches/${batch.batch}`,
    });
  })
  .get('/:cellar/batches/:batch', only('viewer', 'operator', 'keeper'), async (context) => {
    const cellar = context.req.param('cellar');
    const { batch, vessel, finalStatus } = await findBatch(
      context.env,
      cellar,
      context.req.param('batch'),
    );
    const view =
      finalStatus === null
        ? await vesselStub(context.env, cellar, vessel).view(context.get('now'))
        : null;
    const running = view?.batch?.batch === batch.batch ? view.batch : batch;
    return context.json({ batch: running, vessel, status: finalStatus ?? view?.status ?? null });
  })
  .post('/:cellar/batches/:batch/stage', only('operator', 'keeper'), async (context) => {
    const { stage } = await parseBody(stageBody, context.req.raw);
    const { cellar, batch } = context.req.param();
    return context.json(await changeStage(context.env, cellar, batch, stage, context.get('now')));
  })
  .post('/:cellar/batches/:batch/limits', only('operator', 'keeper'), async (context) => {
    const { limits } = await parseBody(ownLimitsBody, context.req.raw);
    const { cellar, batch } = context.req.param();
    return context.json(await setLimits(context.env, cellar, batch, limits, context.get('now')));
  })
  .post('/:cellar/batches/:batch/deeds', only('operator', 'keeper'), async (context) => {
    const body = await parseBody(deedBody, context.req.raw);
    const by = context.get('admission').grant.title;
    const place = context.req.param();
    return context.json(await recordDeed(context.env, place, body, by, context.get('now')), 201);
  })
  .post('/:cellar/batches/:batch/end', only('operator', 'keeper'), async (context) => {
    const { cellar, batch } = context.req.param();
    return context.json(await endBatch(context.env, cellar, batch, context.get('now')));
  });
