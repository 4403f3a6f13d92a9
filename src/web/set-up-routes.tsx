/** The set-up page: vessels, batches, keys and receivers, made and withdrawn by forms. */
import { type Context, Hono } from 'hono';
import { cellarStub } from '../storage/env.ts';
import { batchBody, keyBody, receiverBody, vesselBody } from './contract.ts';
import { describeVessel } from './describe-vessel.ts';
import { Refusal } from './fault.ts';
import { batchFromForm, problemsByField, receiverFromForm, vesselFromForm } from './form-body.ts';
import type { HttpContext } from './http-context.ts';
import { described, noteAct } from './journal.ts';
import { makeKey, revokeKey } from './make-key.ts';
import { addReceiver } from './make-receiver.ts';
import { pageForm, readForm } from './page-form.ts';
import { requireRole } from './page-visit.ts';
import { type SetUpForm, type SetUpPageProps, setUpPage } from './pages/set-up.tsx';
import { parse } from './parse.ts';
import { toProblem } from './problem.ts';
import { startBatch } from './run-batch.ts';

const showSetUp = async (
  context: Context<HttpContext>,
  extra: Pick<SetUpPageProps, 'secret' | 'refused'>,
): Promise<Response> => {
  const visit = context.get('visit');
  const list = cellarStub(context.env, visit.cellar.cellar);
  const keeper = visit.role === 'keeper';
  const [vessels, batches, standing, pushKey, keys, receivers] = await Promise.all([
    list.vessels(),
    list.batches(),
    list.standingAlarms(),
    list.pushKey(),
    keeper ? list.keys() : [],
    keeper ? list.receivers(context.get('now')) : [],
  ]);
  return context.html(
    setUpPage({
      ...visit,
      vessels,
      batches,
      keys,
      receivers,
      pushKey: pushKey ?? undefined,
      standing: standing.length,
      now: context.get('now'),
      ...extra,
    }),
  );
};

/** Runs what a form asks for; what it is refused for comes back at the fields, as it was typed. */
const answerForm = async (
  context: Context<HttpContext>,
  form: SetUpForm,
  firstField: string,
  values: Readonly<Record<string, string>>,
  run: () => Promise<Response>,
): Promise<Response> => {
  try {
    return await run();
  } catch (error) {
    if (!(error instanceof Refusal) || error.fault.kind === 'role-too-low') throw error;
    const { fault } = error;
    const problems =
      fault.kind === 'fields'
        ? problemsByField(fault.fields)
        : { [firstField]: toProblem(fault).detail ?? '' };
    context.status(422);
    return showSetUp(context, { refused: { form, problems, values } });
  }
};

/** A form names days where a program names a moment. */
const endOf = (lifetime: string | undefined, now: number): unknown => {
  if (lifetime === undefined || lifetime === '') return null;
  const days = Number(lifetime);
  return Number.isFinite(days) ? now + days * 86_400 : lifetime;
};

const backToSetUp = (context: Context<HttpContext>): Response =>
  context.redirect(`/cellars/${context.get('visit').cellar.cellar}/set-up`, 303);

export const setUp = new Hono<HttpContext>()
  .get('/cellars/:cellar/set-up', (context) => showSetUp(context, {}))
  .post('/cellars/:cellar/vessels', async (context) => {
    requireRole(context, 'keeper');
    const typed = await pageForm(context);
    const { cellar } = context.req.param();
    return answerForm(context, 'vessel', 'vessel', typed, async () => {
      const vessel = parse(vesselBody, vesselFromForm(typed));
      await describeVessel(context.env, cellar, vessel, context.get('now'));
      noteAct(context, { about: vessel.vessel, facts: described(vessel) });
      return context.redirect(`/cellars/${cellar}/vessels/${vessel.vessel}`, 303);
    });
  })
  .post('/cellars/:cellar/batches', async (context) => {
    requireRole(context, 'operator', 'keeper');
    const typed = await pageForm(context);
    const { cellar } = context.req.param();
    return answerForm(context, 'batch', 'batch', typed, async () => {
      const body = parse(batchBody, batchFromForm(typed));
      await startBatch(
        context.env,
        cellar,
        body,
        context.get('admission').grant.title,
        context.get('now'),
      );
      noteAct(context, { about: body.batch, facts: described(body) });
      return context.redirect(`/cellars/${cellar}/vessels/${body.vessel}`, 303);
    });
  })
  .post('/cellars/:cellar/keys', async (context) => {
    requireRole(context, 'keeper');
    const form = await readForm(context);
    const typed = Object.fromEntries(form);
    return answerForm(context, 'key', 'title', typed, async () => {
      const vessels = form.getAll('vessels');
      const body = parse(keyBody, {
        title: typed.title,
        role: typed.role,
        vessels: typed.role === 'sensor' ? vessels : null,
        expiresAt: endOf(typed.lifetime, context.get('now')),
      });
      const { cellar } = context.req.param();
      const made = await makeKey(context.env, cellar, body, context.get('now'));
      noteAct(context, { about: made.keyId, facts: described(body) });
      return showSetUp(context, { secret: { kind: 'key', title: body.title, secret: made.key } });
    });
  })
  .post('/cellars/:cellar/keys/:key/revoke', async (context) => {
    requireRole(context, 'keeper');
    const { cellar, key } = context.req.param();
    await revokeKey(context.env, cellar, key, context.get('now'));
    return backToSetUp(context);
  })
  .post('/cellars/:cellar/receivers', async (context) => {
    requireRole(context, 'keeper');
    const typed = await pageForm(context);
    return answerForm(
      context,
      typed.body === undefined ? 'receiver' : 'relay',
      'url',
      typed,
      async () => {
        const body = parse(receiverBody, receiverFromForm(typed));
        const { cellar } = context.req.param();
        const by = context.get('admission').grant.title;
        const made = await addReceiver(context.env, cellar, body, by, context.get('now'));
        if (made.secret === null)
          return context.redirect(`/cellars/${cellar}/receivers/${made.id}`, 303);
        return showSetUp(context, {
          secret: { kind: 'receiver', title: made.title, secret: made.secret },
        });
      },
    );
  });
