/** Vessels over HTTP: list, create, replace, status, chart. */
import { Hono } from 'hono';
import { cellarStub, vesselStub } from '../storage/env.ts';
import { admission, only } from './admission.ts';
import { readChart } from './chart.ts';
import { vesselBody } from './contract.ts';
import { createVessel, replaceVessel } from './describe-vessel.ts';
import { Refusal } from './fault.ts';
import type { HttpContext } from './http-context.ts';
import { described, noteAct } from './journal.ts';
import { parseBody } from './parse.ts';

export const vessels = new Hono<HttpContext>()
  .use('/:cellar/vessels', admission)
  .use('/:cellar/vessels/*', admission)
  .get('/:cellar/vessels', only('viewer', 'operator', 'keeper'), async (context) =>
    context.json({
      vessels: await cellarStub(context.env, context.req.param('cellar')).vessels(),
    }),
  )
  .post('/:cellar/vessels', only('keeper'), async (context) => {
    const vessel = await parseBody(vesselBody, context.req.raw);
    const cellar = context.req.param('cellar');
    await createVessel(context.env, cellar, vessel, context.get('now'));
    noteAct(context, { about: vessel.vessel, facts: described(vessel) });
    return context.json(vessel, 201, {
      location: `/v1/cellars/${cellar}/vessels/${vessel.vessel}`,
    });
  })
  .put('/:cellar/vessels/:vessel', only('keeper'), async (context) => {
    const vessel = await parseBody(vesselBody, context.req.raw);
    const name = context.req.param('vessel');
    if (vessel.vessel !== name)
      throw new Refusal({
        kind: 'fields',
        fields: [{ field: 'vessel', detail: `must be the ${name} of the address` }],
      });
    await replaceVessel(context.env, context.req.param('cellar'), vessel, context.get('now'));
    return context.json(vessel);
  })
  .get('/:cellar/vessels/:vessel', only('viewer', 'operator', 'keeper'), async (context) => {
    const name = context.req.param('vessel');
    const view = await vesselStub(context.env, context.req.param('cellar'), name).view(
      context.get('now'),
    );
    if (view === null) throw new Refusal({ kind: 'not-found', what: 'vessel', name });
    return context.json(view);
  })
  .get('/:cellar/vessels/:vessel/chart', only('viewer', 'operator', 'keeper'), async (context) =>
    context.json(
      await readChart(context.env, context.req.param(), context.req.query(), context.get('now')),
    ),
  );
