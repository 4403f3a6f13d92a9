/**
 * Signs a webhook after Standard Webhooks 1.0.0: HMAC-SHA-256 over `{id}.{timestamp}.{body}`, one
 * `v1,` signature for each secret, separated by blanks, so that a secret can be replaced without a
 * delivery being refused ("Webhook headers"). The body that is sent must be the text that was signed.
 * No I/O, no clock, no randomness; asynchronous only because WebCrypto is.
 */
import { fail, ok, type Result } from '../result.ts';
import { base64FromBytes } from './base64.ts';
import { shownValue } from './shown-value.ts';
import {
  type WebhookSecretFault,
  webhookKeyOf,
  webhookSecretFaultInWords,
} from './webhook-secret.ts';

export type WebhookMessage = {
  /** The same at every attempt to deliver this message: the receiver drops what it has seen. */
  readonly id: string;
  /** Unix seconds of this attempt, a whole number. */
  readonly timestampSeconds: number;
  readonly body: string;
};

export type WebhookHeaders = {
  readonly 'webhook-id': string;
  readonly 'webhook-timestamp': string;
  readonly 'webhook-signature': string;
};

export type WebhookFault =
  | WebhookSecretFault
  | { readonly kind: 'id-malformed'; readonly found: string }
  | { readonly kind: 'timestamp-malformed'; readonly found: number }
  | { readonly kind: 'no-secret' };

export const webhookFaultInWords = (fault: WebhookFault): string => {
  switch (fault.kind) {
    case 'id-malformed':
      return `the webhook id is ${fault.found}; use printable ASCII characters without blanks and full stops`;
    case 'timestamp-malformed':
      return `the webhook timestamp is ${fault.found}; use whole Unix seconds`;
    case 'no-secret':
      return 'there is no secret to sign the webhook with; give at least one';
    default:
      return webhookSecretFaultInWords(fault);
  }
};

/**
 * Printable ASCII without the full stop: the id stands in a header, and with a full stop in it one
 * signature would fit two messages ("Signature scheme").
 */
const idPattern = /^[!-\-/-~]+$/;

export const webhookAlgorithm = { name: 'HMAC', hash: 'SHA-256' };

export const signedContent = ({ id, timestampSeconds, body }: WebhookMessage): Uint8Array =>
  new TextEncoder().encode(`${id}.${timestampSeconds}.${body}`);

/** @param secrets the present one first, then those that are being replaced */
export const signWebhook = async (
  message: WebhookMessage,
  secrets: readonly string[],
): Promise<Result<WebhookHeaders, WebhookFault>> => {
  const { id, timestampSeconds } = message;
  if (!idPattern.test(id)) return fail({ kind: 'id-malformed', found: shownValue(id) });
  if (!Number.isSafeInteger(timestampSeconds) || timestampSeconds < 0) {
    return fail({ kind: 'timestamp-malformed', found: timestampSeconds });
  }
  if (secrets.length === 0) return fail({ kind: 'no-secret' });

  const content = signedContent(message);
  const signatures: string[] = [];
  for (const secret of secrets) {
    const bytes = webhookKeyOf(secret);
    if (!bytes.ok) return bytes;
    const key = await crypto.subtle.importKey('raw', bytes.value, webhookAlgorithm, false, [
      'sign',
    ]);
    const signature = await crypto.subtle.sign(webhookAlgorithm.name, key, content);
    signatures.push(`v1,${base64FromBytes(new Uint8Array(signature))}`);
  }
  return ok({
    'webhook-id': id,
    'webhook-timestamp': String(timestampSeconds),
    'webhook-signature': signatures.join(' '),
  });
};
