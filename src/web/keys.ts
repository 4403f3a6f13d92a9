/** Keys over HTTP: list, make (shown once), revoke. Keepers only. */
import { Hono } from 'hono';
import { cellarStub } from '../storage/env.ts';
import { admission, only } from './admission.ts';
import { keyBody } from './contract.ts';
import type { HttpContext } from './http-context.ts';
import { described, noteAct } from './journal.ts';
import { makeKey, revokeKey } from './make-key.ts';
import { parseBody } from './parse.ts';

export const keys = new Hono<HttpContext>()
  .use('/:cellar/keys', admission)
  .use('/:cellar/keys/*', admission)
  .get('/:cellar/keys', only('keeper'), async (context) =>
    context.json({ keys: await cellarStub(context.env, context.req.param('cellar')).keys() }),
  )
  .post('/:cellar/keys', only('keeper'), async (context) => {
    const body = await parseBody(keyBody, context.req.raw);
    const made = await makeKey(context.env, context.req.param('cellar'), body, context.get('now'));
    noteAct(context, { about: made.keyId, facts: described(body) });
    return context.json(made, 201);
  })
  .delete('/:cellar/keys/:key', only('keeper'), async (context) => {
    const { cellar, key } = context.req.param();
    await revokeKey(context.env, cellar, key, context.get('now'));
    return context.body(null, 204);
  });
