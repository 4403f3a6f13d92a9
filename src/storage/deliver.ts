/** One try at one delivery: to a webhook, a browser or a mail relay, and what came of it in words. */
import { receiverAddressFault } from '../wire/receiver-address.ts';
import type { VapidKeys } from '../wire/vapid.ts';
import type { Message } from './news.ts';
import type { Route } from './route.ts';
import { sendPush } from './send-push.ts';
import { sendRelay } from './send-relay.ts';
import { sendWebhook } from './send-webhook.ts';
import type { Outcome } from './try-request.ts';

export type Sending = {
  readonly message: Message;
  /** Where the alarm can be acknowledged by whoever gets this; null where there is nothing to, or no way. */
  readonly link: string | null;
  /** The real Unix time of the try, which signatures cover. */
  readonly timestamp: number;
  /** The cellar's keys for push; null where it has none. */
  readonly vapid: VapidKeys | null;
  readonly send: typeof fetch;
};

export const deliver = async (
  route: Route,
  sending: Sending,
  privateAllowed: boolean,
): Promise<Outcome> => {
  const fault = receiverAddressFault(route.url, privateAllowed);
  if (fault !== null)
    return { kind: 'failed', words: `not sent: the address ${fault}`, retryAfterSeconds: null };
  switch (route.kind) {
    case 'webhook':
      return sendWebhook(route, sending);
    case 'push':
      return sendPush(route, sending);
    case 'relay':
      return sendRelay(route, sending);
  }
};
