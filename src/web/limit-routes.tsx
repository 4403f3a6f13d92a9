/** The page of a batch's limits: shown by stage, set by a form. */
import { type Context, Hono } from 'hono';
import { type Stage, stages } from '../monitoring/batch.ts';
import { ownLimitsBody } from './contract.ts';
import { Refusal } from './fault.ts';
import type { HttpContext } from './http-context.ts';
import { limitsFromForm } from './limits-from-form.ts';
import { pageForm } from './page-form.ts';
import { requireRole } from './page-visit.ts';
import type { Refused } from './pages/form.tsx';
import { limitsPage } from './pages/limits.tsx';
import { parse } from './parse.ts';
import { quote } from './quote.ts';
import { findBatch, setLimits } from './run-batch.ts';

const stageAsked = (asked: string | undefined, present: Stage): Stage => {
  if (asked === undefined) return present;
  const stage = stages.find((each) => each === asked);
  if (stage !== undefined) return stage;
  throw new Refusal({
    kind: 'fields',
    fields: [
      { field: 'stage', detail: `must be one of ${stages.join(', ')} (found ${quote(asked)})` },
    ],
  });
};

const showLimits = async (
  context: Context<HttpContext>,
  { cellar, batch: name }: { readonly cellar: string; readonly batch: string },
  refused?: Refused,
): Promise<Response> => {
  const { batch, vessel } = await findBatch(context.env, cellar, name);
  const stage = stageAsked(context.req.query('stage'), batch.stage);
  return context.html(
    limitsPage({ ...context.get('visit'), batch, vessel, stage, refused }),
    refused === undefined ? 200 : 422,
  );
};

export const limits = new Hono<HttpContext>()
  .get('/cellars/:cellar/batches/:batch/limits', async (context) => {
    requireRole(context, 'operator', 'keeper');
    return showLimits(context, context.req.param());
  })
  .post('/cellars/:cellar/batches/:batch/limits', async (context) => {
    requireRole(context, 'operator', 'keeper');
    const place = context.req.param();
    const typed = await pageForm(context);
    const { batch } = await findBatch(context.env, place.cellar, place.batch);
    const stage = stageAsked(context.req.query('stage'), batch.stage);
    try {
      const own = limitsFromForm(stage, typed);
      const body = parse(ownLimitsBody, { limits: { ...batch.limits, [stage]: own } });
      const { vessel } = await setLimits(
        context.env,
        place.cellar,
        place.batch,
        body.limits,
        context.get('now'),
      );
      return context.redirect(`/cellars/${place.cellar}/vessels/${vessel}`, 303);
    } catch (error) {
      if (!(error instanceof Refusal) || error.fault.kind !== 'fields') throw error;
      const problems = Object.fromEntries(
        error.fault.fields.map(({ field, detail }) => [field.split('.').at(-1) ?? field, detail]),
      );
      return showLimits(context, place, { problems, values: typed });
    }
  });
