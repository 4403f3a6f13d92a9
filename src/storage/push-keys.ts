/** The cellar's key pair for push (RFC 8292), made at first demand and kept: a new one would end all subscriptions. */
import { base64urlFromBytes } from '../wire/base64url.ts';
import type { EcPrivateKey, VapidKeys } from '../wire/vapid.ts';
import { readDocument, writeDocument } from './document-table.ts';

/** Of what the platform exports, what RFC 7518 asks for. */
const privateOf = (exported: unknown): EcPrivateKey => {
  const { kty, crv, x, y, d } = exported as EcPrivateKey;
  return { kty, crv, x, y, d };
};

/** The public key in base64url, as a browser takes it. */
export const pushKey = async (sql: SqlStorage): Promise<string> => {
  const known = readDocument<VapidKeys>(sql, 'vapid');
  if (known !== null) return known.publicKey;
  const pair = (await crypto.subtle.generateKey({ name: 'ECDSA', namedCurve: 'P-256' }, true, [
    'sign',
    'verify',
  ])) as CryptoKeyPair;
  const raw = (await crypto.subtle.exportKey('raw', pair.publicKey)) as ArrayBuffer;
  const keys: VapidKeys = {
    publicKey: base64urlFromBytes(new Uint8Array(raw)),
    privateKey: privateOf(await crypto.subtle.exportKey('jwk', pair.privateKey)),
  };
  // Another request may have made a pair meanwhile: the first one stays.
  const made = readDocument<VapidKeys>(sql, 'vapid');
  if (made !== null) return made.publicKey;
  writeDocument(sql, 'vapid', keys);
  return keys.publicKey;
};
