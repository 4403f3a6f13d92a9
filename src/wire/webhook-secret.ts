/**
 * The shared secret of a webhook receiver, as Standard Webhooks 1.0.0 ("Signature scheme") writes
 * it: `whsec_` and the base64 of 24 to 64 bytes. A fault never holds the secret.
 * Pure: no I/O, no clock; the randomness is an argument.
 */
import { fail, ok, type Result } from '../result.ts';
import { base64FromBytes, bytesFromBase64 } from './base64.ts';

const prefix = 'whsec_';

/** Standard Webhooks, "Signature scheme": at least 192 bits, at most 512. */
const fewestBytes = 24;
const mostBytes = 64;

export type WebhookSecretFault =
  | { readonly kind: 'secret-malformed' }
  | { readonly kind: 'secret-length'; readonly bytes: number };

const isLongEnough = ({ length }: Uint8Array): boolean =>
  length >= fewestBytes && length <= mostBytes;

/** @param randomBytes from a cryptographic source, 24 to 64 of them; 32 is a good number */
export const webhookSecretOf = (randomBytes: Uint8Array): Result<string, WebhookSecretFault> =>
  isLongEnough(randomBytes)
    ? ok(prefix + base64FromBytes(randomBytes))
    : fail({ kind: 'secret-length', bytes: randomBytes.length });

export const webhookKeyOf = (secret: string): Result<Uint8Array, WebhookSecretFault> => {
  const bytes = secret.startsWith(prefix) ? bytesFromBase64(secret.slice(prefix.length)) : null;
  if (bytes === null) return fail({ kind: 'secret-malformed' });
  return isLongEnough(bytes) ? ok(bytes) : fail({ kind: 'secret-length', bytes: bytes.length });
};

export const webhookSecretFaultInWords = (fault: WebhookSecretFault): string => {
  switch (fault.kind) {
    case 'secret-malformed':
      return `the webhook secret is malformed; send ${prefix} and the base64 of ${fewestBytes} to ${mostBytes} bytes`;
    case 'secret-length':
      return `the webhook secret has ${fault.bytes} bytes; use ${fewestBytes} to ${mostBytes}`;
  }
};
