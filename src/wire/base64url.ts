/**
 * Bytes as base64url without padding (RFC 4648 section 5, RFC 7515 section 2), and back. Strict.
 * Pure: no I/O, no clock.
 */
import { base64FromBytes, bytesFromBase64 } from './base64.ts';

export const base64urlFromBytes = (bytes: Uint8Array): string =>
  base64FromBytes(bytes).replaceAll('+', '-').replaceAll('/', '_').replaceAll('=', '');

/** Null where the text is not base64url. */
export const bytesFromBase64url = (text: string): Uint8Array | null =>
  /^[\w-]*$/.test(text)
    ? bytesFromBase64(
        text.replaceAll('-', '+').replaceAll('_', '/') + '='.repeat((4 - (text.length % 4)) % 4),
      )
    : null;
