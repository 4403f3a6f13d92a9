/**
 * Verifies a signed webhook as a receiver does (Standard Webhooks 1.0.0, "Verifying signatures"): a
 * timestamp near now, and a `v1` signature that fits one of the receiver's secrets. WebCrypto does
 * the comparison, in constant time. Signatures of other versions are passed over.
 * No I/O, no clock: `now` is an argument in Unix seconds.
 */
import { fail, ok, type Result } from '../result.ts';
import { bytesFromBase64 } from './base64.ts';
import { shownValue } from './shown-value.ts';
import { type WebhookSecretFault, webhookKeyOf } from './webhook-secret.ts';
import {
  signedContent,
  type WebhookHeaders,
  type WebhookMessage,
  webhookAlgorithm,
} from './webhook-signature.ts';

/** Five minutes, as in the reference library; longer gives a recorded request longer to be replayed. */
const toleranceByDefault = 300;

/**
 * Signatures looked at in one header. Chosen by Gyleward: a sender in the midst of replacing its
 * secret sends two. More lets a stranger buy more hashing with one request.
 */
const mostSignatures = 16;

export type WebhookVerifyFault =
  | WebhookSecretFault
  | { readonly kind: 'header-missing'; readonly header: keyof WebhookHeaders }
  | { readonly kind: 'timestamp-malformed'; readonly found: string }
  | {
      readonly kind: 'timestamp-outside';
      readonly found: number;
      readonly now: number;
      readonly toleranceSeconds: number;
    }
  | { readonly kind: 'no-signature-fits' };

export type ReceivedWebhook = {
  /** Null where the request has no such header. */
  readonly headers: { readonly [Header in keyof WebhookHeaders]: string | null };
  readonly body: string;
};

const v1Signatures = (header: string): readonly Uint8Array[] =>
  header
    .split(' ', mostSignatures)
    .filter((part) => part.startsWith('v1,'))
    .flatMap((part) => bytesFromBase64(part.slice('v1,'.length)) ?? []);

export const verifyWebhook = async (
  { headers, body }: ReceivedWebhook,
  secrets: readonly string[],
  now: number,
  toleranceSeconds = toleranceByDefault,
): Promise<Result<WebhookMessage, WebhookVerifyFault>> => {
  const id = headers['webhook-id'];
  const timestamp = headers['webhook-timestamp'];
  const signature = headers['webhook-signature'];
  if (!id) return fail({ kind: 'header-missing', header: 'webhook-id' });
  if (!timestamp) return fail({ kind: 'header-missing', header: 'webhook-timestamp' });
  if (!signature) return fail({ kind: 'header-missing', header: 'webhook-signature' });
  if (!/^(?:0|[1-9]\d{0,14})$/.test(timestamp)) {
    return fail({ kind: 'timestamp-malformed', found: shownValue(timestamp) });
  }
  const timestampSeconds = Number(timestamp);
  if (!(Math.abs(now - timestampSeconds) <= toleranceSeconds)) {
    return fail({ kind: 'timestamp-outside', found: timestampSeconds, now, toleranceSeconds });
  }

  const message: WebhookMessage = { id, timestampSeconds, body };
  const content = signedContent(message);
  for (const secret of secrets) {
    const bytes = webhookKeyOf(secret);
    if (!bytes.ok) return bytes;
    const key = await crypto.subtle.importKey('raw', bytes.value, webhookAlgorithm, false, [
      'verify',
    ]);
    for (const candidate of v1Signatures(signature)) {
      if (await crypto.subtle.verify(webhookAlgorithm.name, key, candidate, content)) {
        return ok(message);
      }
    }
  }
  return fail({ kind: 'no-signature-fits' });
};
