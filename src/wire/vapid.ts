/**
 * Says to a push service who sends: a JSON web token signed with ES256 and the public key, in the header
 * `Authorization: vapid` (RFC 8292 sections 2 and 3). No I/O, no clock; the signature of ECDSA holds
 * randomness that WebCrypto draws by itself.
 */
import { base64urlFromBytes } from './base64url.ts';

export type VapidClaims = {
  /** Origin of the push service. */
  readonly aud: string;
  /** Unix seconds, whole; RFC 8292 section 2 allows a day at most. */
  readonly exp: number;
  /** How to reach whoever sends: an https: or mailto: address; left out where there is none. */
  readonly sub?: string;
};

/** The cellar's own key pair: the public key as the browser takes it, the private one as a JSON web key. */
export type VapidKeys = { readonly publicKey: string; readonly privateKey: EcPrivateKey };

/** RFC 7518 section 6.2. */
export type EcPrivateKey = Readonly<Record<'kty' | 'crv' | 'x' | 'y' | 'd', string>>;

const segment = (value: unknown): string =>
  base64urlFromBytes(new TextEncoder().encode(JSON.stringify(value)));

/** Header and claims, as they are signed. */
export const vapidToSign = (claims: VapidClaims): string =>
  `${segment({ typ: 'JWT', alg: 'ES256' })}.${segment(claims)}`;

export const vapidAuthorization = async (
  claims: VapidClaims,
  { publicKey, privateKey }: VapidKeys,
): Promise<string> => {
  const key = await crypto.subtle.importKey(
    'jwk',
    privateKey,
    { name: 'ECDSA', namedCurve: 'P-256' },
    false,
    ['sign'],
  );
  const toSign = vapidToSign(claims);
  const signature = await crypto.subtle.sign(
    { name: 'ECDSA', hash: 'SHA-256' },
    key,
    new TextEncoder().encode(toSign),
  );
  return `vapid t=${toSign}.${base64urlFromBytes(new Uint8Array(signature))}, k=${publicKey}`;
};
