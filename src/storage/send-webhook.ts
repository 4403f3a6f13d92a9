/** A message to a program of somebody's: a CloudEvent, signed after Standard Webhooks. */
import { cloudEventMediaType } from '../wire/cloud-event.ts';
import { signWebhook, webhookFaultInWords } from '../wire/webhook-signature.ts';
import type { Sending } from './deliver.ts';
import { messageEnvelope } from './message-envelope.ts';
import type { WebhookRoute } from './route.ts';
import { type Outcome, tryRequest } from './try-request.ts';

export const sendWebhook = async (
  { url, secrets }: WebhookRoute,
  { message, link, timestamp, send }: Sending,
): Promise<Outcome> => {
  const body = messageEnvelope(message, link);
  const signed = await signWebhook(
    { id: message.id, timestampSeconds: Math.floor(timestamp), body },
    secrets,
  );
  if (!signed.ok) throw new Error(webhookFaultInWords(signed.fault));
  const headers = { 'content-type': cloudEventMediaType, ...signed.value };
  return tryRequest(url, { method: 'POST', headers, body }, send);
};
