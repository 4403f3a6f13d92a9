/** Receivers over HTTP: who is told of each change, and what could not be told. Keepers only. */
import { type Context, Hono } from 'hono';
import { cellarStub } from '../storage/env.ts';
import { admission, only } from './admission.ts';
import { dutyBody, heartbeatBody, receiverBody, resendBody } from './contract.ts';
import type { HttpContext } from './http-context.ts';
import {
  addReceiver,
  listDeadLetters,
  type ReceiverAct,
  removeReceiver,
  replaceSecret,
  sendAgain,
  sendTest,
  setDuty,
  setHeartbeat,
} from './make-receiver.ts';
import { parseBody } from './parse.ts';

/** Who acts on which receiver. */
const actOf = (
  context: Context<HttpContext>,
  place: { readonly cellar: string; readonly receiver: string },
): ReceiverAct => ({ ...place, by: context.get('admission').grant.title });

export const receivers = new Hono<HttpContext>()
  .use('/:cellar/receivers', admission)
  .use('/:cellar/receivers/*', admission)
  .get('/:cellar/receivers', only('keeper'), async (context) =>
    context.json({
      receivers: await cellarStub(context.env, context.req.param('cellar')).receivers(
        context.get('now'),
      ),
    }),
  )
  .post('/:cellar/receivers', only('keeper'), async (context) => {
    const body = await parseBody(receiverBody, context.req.raw);
    const { cellar } = context.req.param();
    const by = context.get('admission').grant.title;
    const made = await addReceiver(context.env, cellar, body, by, context.get('now'));
    return context.json(made, 201);
  })
  .delete('/:cellar/receivers/:receiver', only('keeper'), async (context) => {
    await removeReceiver(context.env, actOf(context, context.req.param()), context.get('now'));
    return context.body(null, 204);
  })
  .put('/:cellar/receivers/:receiver/duty', only('keeper'), async (context) => {
    const duty = await parseBody(dutyBody, context.req.raw);
    await setDuty(context.env, actOf(context, context.req.param()), duty, context.get('now'));
    return context.body(null, 204);
  })
  .put('/:cellar/receivers/:receiver/heartbeat', only('keeper'), async (context) => {
    const { everyMinutes } = await parseBody(heartbeatBody, context.req.raw);
    const act = actOf(context, context.req.param());
    await setHeartbeat(context.env, act, everyMinutes, context.get('now'));
    return context.body(null, 204);
  })
  .post('/:cellar/receivers/:receiver/test', only('keeper'), async (context) => {
    await sendTest(context.env, actOf(context, context.req.param()), context.get('now'));
    return context.body(null, 204);
  })
  .post('/:cellar/receivers/:receiver/secret', only('keeper'), async (context) => {
    const act = actOf(context, context.req.param());
    return context.json(await replaceSecret(context.env, act, context.get('now')));
  })
  .get('/:cellar/receivers/:receiver/dead-letters', only('keeper'), async (context) => {
    const { cellar, receiver } = context.req.param();
    return context.json({ deadLetters: await listDeadLetters(context.env, cellar, receiver) });
  })
  .post('/:cellar/receivers/:receiver/dead-letters/resend', only('keeper'), async (context) => {
    const { letter } = await parseBody(resendBody, context.req.raw);
    const act = actOf(context, context.req.param());
    return context.json({
      sentAgain: await sendAgain(context.env, act, letter, context.get('now')),
    });
  });
