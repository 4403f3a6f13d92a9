/** One try at one delivery: what is sent where, and what came of it in words. */
import { cloudEventMediaType } from '../wire/cloud-event.ts';
import { receiverAddressFault } from '../wire/receiver-address.ts';
import { signWebhook, webhookFaultInWords } from '../wire/webhook-signature.ts';
import { messageEnvelope } from './message-envelope.ts';
import type { Message } from './news.ts';
import type { Route } from './receiver-table.ts';
import { type Outcome, tryRequest } from './try-request.ts';

export type Trying = {
  /** Whether the operator lets receivers live on private addresses. */
  readonly privateAllowed: boolean;
  /** The real Unix time of the try, which a signature covers. */
  readonly timestamp: number;
  readonly send: typeof fetch;
};

export const deliver = async (
  { url, secrets }: Route,
  message: Message,
  { privateAllowed, timestamp, send }: Trying,
): Promise<Outcome> => {
  const fault = receiverAddressFault(url, privateAllowed);
  if (fault !== null)
    return { kind: 'failed', words: `not sent: the address ${fault}`, retryAfterSeconds: null };
  const body = messageEnvelope(message);
  const signed = await signWebhook(
    { id: message.id, timestampSeconds: Math.floor(timestamp), body },
    secrets,
  );
  if (!signed.ok) throw new Error(webhookFaultInWords(signed.fault));
  const headers = { 'content-type': cloudEventMediaType, ...signed.value };
  return tryRequest(url, { method: 'POST', headers, body }, send);
};
