/** How long readings are kept in full detail, and which batches are held. */
import { Hono } from 'hono';
import { cellarStub } from '../storage/env.ts';
import { admission, only } from './admission.ts';
import { legalHoldBody, retentionBody } from './contract.ts';
import { Refusal } from './fault.ts';
import type { HttpContext } from './http-context.ts';
import { parseBody } from './parse.ts';

export const retention = new Hono<HttpContext>()
  .use('/:cellar/retention', admission)
  .use('/:cellar/batches/:batch/legal-hold', admission)
  .get('/:cellar/retention', only('viewer', 'operator', 'keeper'), async (context) =>
    context.json({
      keepDays: await cellarStub(context.env, context.req.param('cellar')).keepDays(),
    }),
  )
  .put('/:cellar/retention', only('keeper'), async (context) => {
    const { keepDays } = await parseBody(retentionBody, context.req.raw);
    const by = context.get('admission').grant.title;
    const cellar = cellarStub(context.env, context.req.param('cellar'));
    await cellar.setKeepDays(keepDays, by, context.get('now'));
    return context.json({ keepDays });
  })
  .put('/:cellar/batches/:batch/legal-hold', only('keeper'), async (context) => {
    const { held, note } = await parseBody(legalHoldBody, context.req.raw);
    const { cellar, batch } = context.req.param();
    const by = context.get('admission').grant.title;
    const known = await cellarStub(context.env, cellar).setLegalHold(
      batch,
      { held, by, note },
      context.get('now'),
    );
    if (!known) throw new Refusal({ kind: 'not-found', what: 'batch', name: batch });
    return context.json({ batch, held });
  });
