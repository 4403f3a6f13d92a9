/**
 * Bytes as base64 with the standard alphabet and padding (RFC 4648 section 4), and back.
 * Strict: text with line breaks, blanks, missing padding or the URL-safe alphabet is not read.
 * Pure: no I/O, no clock.
 */
const pattern = /^(?:[A-Za-z0-9+/]{4})*(?:[A-Za-z0-9+/]{2}==|[A-Za-z0-9+/]{3}=)?$/;

export const base64FromBytes = (bytes: Uint8Array): string =>
  btoa(Array.from(bytes, (byte) => String.fromCharCode(byte)).join(''));

/** Null where the text is not base64. */
export const bytesFromBase64 = (text: string): Uint8Array | null =>
  pattern.test(text) ? Uint8Array.from(atob(text), (character) => character.charCodeAt(0)) : null;
