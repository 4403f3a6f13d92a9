/** The page of one receiver: how the telling goes, and what a keeper does about it by forms. */
import { type Context, Hono } from 'hono';
import { cellarStub } from '../storage/env.ts';
import type { ReceiverListing } from '../storage/receiver-table.ts';
import { dutyBody, heartbeatBody, resendBody } from './contract.ts';
import { dutyField, dutyFromForm, typedDuty } from './duty-form.ts';
import { Refusal } from './fault.ts';
import type { HttpContext } from './http-context.ts';
import {
  listDeadLetters,
  type ReceiverAct,
  removeReceiver,
  replaceSecret,
  sendAgain,
  sendTest,
  setDuty,
  setHeartbeat,
} from './make-receiver.ts';
import { pageForm, readForm } from './page-form.ts';
import { requireRole } from './page-visit.ts';
import { type ReceiverPageProps, receiverPage } from './pages/receiver.tsx';
import { parse } from './parse.ts';

type Place = { readonly cellar: string; readonly receiver: string };

const find = async (context: Context<HttpContext>, place: Place): Promise<ReceiverListing> => {
  const listed = await cellarStub(context.env, place.cellar).receivers(context.get('now'));
  const receiver = listed.find(({ id }) => id === place.receiver);
  if (receiver === undefined)
    throw new Refusal({ kind: 'not-found', what: 'receiver', name: place.receiver });
  return receiver;
};

const show = async (
  context: Context<HttpContext>,
  place: Place,
  extra: Pick<ReceiverPageProps, 'secret' | 'tested' | 'refused'> = {},
): Promise<Response> => {
  const [receiver, deadLetters, vessels] = await Promise.all([
    find(context, place),
    listDeadLetters(context.env, place.cellar, place.receiver),
    cellarStub(context.env, place.cellar).vessels(),
  ]);
  return context.html(
    receiverPage({ ...context.get('visit'), receiver, deadLetters, vessels, ...extra }),
  );
};

/** Who acts on which receiver; keepers only. */
const keeperAct = (context: Context<HttpContext>, { cellar, receiver }: Place): ReceiverAct => {
  requireRole(context, 'keeper');
  return { cellar, receiver, by: context.get('admission').grant.title };
};

const addressOf = ({ cellar, receiver }: Place): string =>
  `/cellars/${cellar}/receivers/${encodeURIComponent(receiver)}`;

export const receiverPages = new Hono<HttpContext>()
  .get('/cellars/:cellar/receivers/:receiver', async (context) => {
    requireRole(context, 'keeper');
    return show(context, context.req.param());
  })
  .post('/cellars/:cellar/receivers/:receiver/duty', async (context) => {
    const act = keeperAct(context, context.req.param());
    const form = await readForm(context);
    try {
      await setDuty(context.env, act, parse(dutyBody, dutyFromForm(form)), context.get('now'));
      return context.redirect(`${addressOf(act)}#duty`, 303);
    } catch (error) {
      if (!(error instanceof Refusal) || error.fault.kind !== 'fields') throw error;
      const problems = Object.fromEntries(
        error.fault.fields.map(({ field, detail }) => [dutyField(field), detail]),
      );
      context.status(422);
      return show(context, act, { refused: { problems, values: typedDuty(form) } });
    }
  })
  .post('/cellars/:cellar/receivers/:receiver/heartbeat', async (context) => {
    const act = keeperAct(context, context.req.param());
    const typed = (await pageForm(context)).everyMinutes?.trim() ?? '';
    const { everyMinutes } = parse(heartbeatBody, {
      everyMinutes: typed === '' ? null : Number(typed),
    });
    await setHeartbeat(context.env, act, everyMinutes, context.get('now'));
    return context.redirect(`${addressOf(act)}#heartbeat`, 303);
  })
  .post('/cellars/:cellar/receivers/:receiver/test', async (context) => {
    const act = keeperAct(context, context.req.param());
    await sendTest(context.env, act, context.get('now'));
    return show(context, act, { tested: true });
  })
  .post('/cellars/:cellar/receivers/:receiver/secret', async (context) => {
    const act = keeperAct(context, context.req.param());
    const { secret } = await replaceSecret(context.env, act, context.get('now'));
    const { title } = await find(context, act);
    return show(context, act, { secret: { kind: 'receiver', title, secret } });
  })
  .post('/cellars/:cellar/receivers/:receiver/dead-letters/resend', async (context) => {
    const act = keeperAct(context, context.req.param());
    const { letter } = await pageForm(context);
    const body = parse(resendBody, { letter: letter === 'all' ? 'all' : Number(letter) });
    await sendAgain(context.env, act, body.letter, context.get('now'));
    return context.redirect(addressOf(act), 303);
  })
  .post('/cellars/:cellar/receivers/:receiver/delete', async (context) => {
    const act = keeperAct(context, context.req.param());
    await removeReceiver(context.env, act, context.get('now'));
    return context.redirect(`/cellars/${act.cellar}/set-up#receivers`, 303);
  });
