/** Receivers over HTTP: who is told of each change. Keepers only. */
import { Hono } from 'hono';
import { cellarStub } from '../storage/env.ts';
import { admission, only } from './admission.ts';
import { receiverBody } from './contract.ts';
import type { HttpContext } from './http-context.ts';
import { addReceiver, removeReceiver } from './make-receiver.ts';
import { parseBody } from './parse.ts';

export const receivers = new Hono<HttpContext>()
  .use('/:cellar/receivers', admission)
  .use('/:cellar/receivers/*', admission)
  .get('/:cellar/receivers', only('keeper'), async (context) =>
    context.json({
      receivers: await cellarStub(context.env, context.req.param('cellar')).receivers(),
    }),
  )
  .post('/:cellar/receivers', only('keeper'), async (context) => {
    const body = await parseBody(receiverBody, context.req.raw);
    const made = await addReceiver(
      context.env,
      context.req.param('cellar'),
      body,
      context.get('now'),
    );
    return context.json(made, 201);
  })
  .delete('/:cellar/receivers/:receiver', only('keeper'), async (context) => {
    const { cellar, receiver } = context.req.param();
    await removeReceiver(context.env, cellar, receiver);
    return context.body(null, 204);
  });
