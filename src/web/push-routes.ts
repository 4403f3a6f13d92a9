/**
 * A signed-in person's browser wants to be told of alarms by push, or no longer. JSON from the page's own
 * script under the page's cookie: a form of another site cannot send it, and the cookie is of this site only.
 */
import { Hono } from 'hono';
import { wholeDuty } from '../monitoring/alarms/duty.ts';
import { cellarStub } from '../storage/env.ts';
import { receiverAddressFault } from '../wire/receiver-address.ts';
import { assetPath, assetResponse } from './assets.ts';
import { pushBody, pushEndBody } from './contract.ts';
import { Refusal } from './fault.ts';
import type { HttpContext } from './http-context.ts';
import { noteReceiver } from './make-receiver.ts';
import { requireRole } from './page-visit.ts';
import { parseBody } from './parse.ts';
import { quote } from './quote.ts';

export const pushPages = new Hono<HttpContext>()
  .post('/cellars/:cellar/push-subscriptions', async (context) => {
    requireRole(context, 'viewer', 'operator', 'keeper');
    const { endpoint, keys } = await parseBody(pushBody, context.req.raw);
    const { env } = context;
    const fault = receiverAddressFault(endpoint, env.ALLOW_PRIVATE_RECEIVERS === 'yes');
    if (fault !== null)
      throw new Refusal({
        kind: 'fields',
        fields: [{ field: 'endpoint', detail: `${fault} (found ${quote(endpoint)})` }],
      });
    const { cellar } = context.req.param();
    const { grant } = context.get('admission');
    const now = context.get('now');
    const { origin } = new URL(context.req.url);
    const contact = [env.PUBLIC_URL, origin].find((url) => url?.startsWith('https://')) ?? null;
    const receiver = {
      id: `rcv_${crypto.randomUUID()}`,
      title: `Browser of ${grant.title}`.slice(0, 80),
      url: endpoint,
      duty: wholeDuty,
    };
    const details = { ...keys, contact, keyId: grant.keyId };
    if (!(await cellarStub(env, cellar).subscribe(receiver, details, now)))
      throw new Refusal({
        kind: 'fields',
        fields: [{ field: 'endpoint', detail: 'is one too many: remove a browser first' }],
      });
    const act = { cellar, receiver: receiver.id, by: grant.title };
    await noteReceiver(env, 'receiver-added', act, now, { title: receiver.title });
    return context.body(null, 204);
  })
  .post('/cellars/:cellar/push-subscriptions/remove', async (context) => {
    requireRole(context, 'viewer', 'operator', 'keeper');
    const { endpoint } = await parseBody(pushEndBody, context.req.raw);
    const { cellar } = context.req.param();
    const receiver = await cellarStub(context.env, cellar).unsubscribe(endpoint);
    if (receiver !== null) {
      const by = context.get('admission').grant.title;
      const act = { cellar, receiver, by };
      await noteReceiver(context.env, 'receiver-removed', act, context.get('now'));
    }
    return context.body(null, 204);
  });

/** The service worker stands at the root, so that it may speak for all pages, and is asked for each time. */
export const pushWorker = new Hono<HttpContext>().get('/push-worker.js', (context) => {
  const name = assetPath['push-worker.js'].split('/').at(-1) ?? '';
  const answer = assetResponse(name, context.req.header('if-none-match') ?? null);
  if (answer === null) throw new Refusal({ kind: 'path-unknown', path: context.req.path });
  answer.headers.set('cache-control', 'no-cache');
  return answer;
});
