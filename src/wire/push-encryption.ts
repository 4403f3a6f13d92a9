/**
 * Encrypts a message for a push subscription: RFC 8291 (keys from ECDH on P-256 and the subscription's
 * authentication secret) in one record of `aes128gcm`, RFC 8188. The key pair of the sender and the salt are
 * arguments, made afresh by the caller for each message (RFC 8291 section 3.1, RFC 8188 section 2.1).
 * No I/O, no clock, no randomness; asynchronous only because WebCrypto is.
 */
import { fail, ok, type Result } from '../result.ts';

/** What the browser gave: its public key (65 bytes, uncompressed) and its secret (16 bytes). */
export type PushKeys = { readonly p256dh: Uint8Array; readonly auth: Uint8Array };

export type PushFault =
  | { readonly kind: 'key-not-on-curve' }
  | { readonly kind: 'auth-length'; readonly bytes: number }
  | { readonly kind: 'salt-length'; readonly bytes: number }
  | { readonly kind: 'too-long'; readonly bytes: number };

/** RFC 8291 section 4: a push service need not take more than 4096 bytes of encrypted body. */
const recordSize = 4096;
/** Salt, record size, length of the key, the key itself (RFC 8188 section 2.1). */
const headerBytes = 16 + 4 + 1 + 65;
/** RFC 8291 section 4: what is left of 4096 bytes after header, delimiter and tag. */
export const longestPushBytes = recordSize - headerBytes - 1 - 16;

export const pushFaultInWords = (fault: PushFault): string => {
  switch (fault.kind) {
    case 'key-not-on-curve':
      return 'the public key of the subscription is no point on P-256; subscribe again';
    case 'auth-length':
      return `the authentication secret of the subscription has ${fault.bytes} bytes; it must have 16`;
    case 'salt-length':
      return `the salt has ${fault.bytes} bytes; it must have 16`;
    case 'too-long':
      return `the message has ${fault.bytes} bytes; a push carries at most ${longestPushBytes}`;
  }
};

/** Named by what takes it, since the platforms that this runs on name the type differently. */
type Key = Parameters<typeof crypto.subtle.deriveBits>[1];

export type SenderKeys = { readonly publicKey: Key; readonly privateKey: Key };

const curve = { name: 'ECDH', namedCurve: 'P-256' };

const text = (value: string): Uint8Array => new TextEncoder().encode(value);

const joined = (...parts: readonly Uint8Array[]): Uint8Array<ArrayBuffer> => {
  const all = new Uint8Array(parts.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const part of parts) {
    all.set(part, at);
    at += part.length;
  }
  return all;
};

/** HKDF with SHA-256, extract and expand (RFC 5869). */
const derived = async (
  salt: Uint8Array,
  material: Uint8Array,
  info: Uint8Array,
  bytes: number,
): Promise<Uint8Array<ArrayBuffer>> => {
  const key = await crypto.subtle.importKey('raw', joined(material), 'HKDF', false, ['deriveBits']);
  return new Uint8Array(
    await crypto.subtle.deriveBits(
      { name: 'HKDF', hash: 'SHA-256', salt: joined(salt), info: joined(info) },
      key,
      bytes * 8,
    ),
  );
};

const publicKeyOf = async (p256dh: Uint8Array): Promise<Key | null> => {
  try {
    return await crypto.subtle.importKey('raw', joined(p256dh), curve, false, []);
  } catch {
    return null;
  }
};

/** The body to send with `Content-Encoding: aes128gcm`. */
export const encryptPush = async (
  plain: Uint8Array,
  { p256dh, auth }: PushKeys,
  sender: SenderKeys,
  salt: Uint8Array,
): Promise<Result<Uint8Array<ArrayBuffer>, PushFault>> => {
  if (auth.length !== 16) return fail({ kind: 'auth-length', bytes: auth.length });
  if (salt.length !== 16) return fail({ kind: 'salt-length', bytes: salt.length });
  if (plain.length > longestPushBytes) return fail({ kind: 'too-long', bytes: plain.length });
  const theirs = await publicKeyOf(p256dh);
  if (theirs === null) return fail({ kind: 'key-not-on-curve' });
  const ours = new Uint8Array(
    (await crypto.subtle.exportKey('raw', sender.publicKey)) as ArrayBuffer,
  );
  const shared = new Uint8Array(
    await crypto.subtle.deriveBits(
      { name: 'ECDH', public: theirs } as never,
      sender.privateKey,
      256,
    ),
  );
  // RFC 8291 section 3.4, then RFC 8188 sections 2.2 and 2.3.
  const input = await derived(auth, shared, joined(text('WebPush: info\0'), p256dh, ours), 32);
  const contentKey = await derived(salt, input, text('Content-Encoding: aes128gcm\0'), 16);
  const nonce = await derived(salt, input, text('Content-Encoding: nonce\0'), 12);
  const key = await crypto.subtle.importKey('raw', contentKey, 'AES-GCM', false, ['encrypt']);
  // One record only: the delimiter of the last record is 2.
  const sealed = await crypto.subtle.encrypt(
    { name: 'AES-GCM', iv: nonce },
    key,
    joined(plain, Uint8Array.of(2)),
  );
  const size = new Uint8Array(4);
  new DataView(size.buffer).setUint32(0, recordSize);
  return ok(joined(salt, size, Uint8Array.of(ours.length), ours, new Uint8Array(sealed)));
};
