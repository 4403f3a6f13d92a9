/** Keys and session tokens: 256 random bits, shown once, stored as a SHA-256 hash. */

const secretBytes = 32;

/** An opaque secret in base64url without padding: 43 characters. */
export const newSecret = (): string =>
  crypto
    .getRandomValues(new Uint8Array(secretBytes))
    .toBase64({ alphabet: 'base64url', omitPadding: true });

/** SHA-256 as hexadecimal text. */
export const hashOf = async (text: string): Promise<string> => {
  const digest = await crypto.subtle.digest('SHA-256', new TextEncoder().encode(text));
  return new Uint8Array(digest).toHex();
};

/** Compares two secrets in a time that does not depend on where they differ. */
export const sameSecret = async (one: string, other: string): Promise<boolean> => {
  const [left, right] = await Promise.all([hashOf(one), hashOf(other)]);
  const encoder = new TextEncoder();
  return crypto.subtle.timingSafeEqual(encoder.encode(left), encoder.encode(right));
};
