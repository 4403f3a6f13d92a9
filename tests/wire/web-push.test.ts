/**
 * Web push. Outside truth: the vector of RFC 8291 section 5 and appendix A, and the example token of RFC 8292
 * section 2.4 (fixtures/standards/wire_vectors.json); signatures and messages of ours are verified and
 * decrypted with Node's own crypto, which shares no code with what made them.
 */
import { createDecipheriv, createECDH, createPublicKey, hkdfSync, verify } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import vectors from '../../fixtures/standards/wire_vectors.json' with { type: 'json' };
import { base64urlFromBytes, bytesFromBase64url } from '../../src/wire/base64url.ts';
import {
  encryptPush,
  longestPushBytes,
  pushFaultInWords,
  type SenderKeys,
} from '../../src/wire/push-encryption.ts';
import { type EcPrivateKey, vapidAuthorization, vapidToSign } from '../../src/wire/vapid.ts';

const { rfc8291, rfc8292 } = vectors;

const bytes = (text: string): Uint8Array<ArrayBuffer> => {
  const read = bytesFromBase64url(text);
  if (read === null) throw new Error(`not base64url: ${text}`);
  return Uint8Array.from(read);
};

/** A pair from raw keys as the RFC prints them. */
const pairOf = async (privateKey: string, publicKey: string): Promise<SenderKeys> => {
  const point = bytes(publicKey);
  const jwk = {
    kty: 'EC',
    crv: 'P-256',
    x: base64urlFromBytes(point.slice(1, 33)),
    y: base64urlFromBytes(point.slice(33)),
  };
  const curve = { name: 'ECDH', namedCurve: 'P-256' };
  return {
    privateKey: await crypto.subtle.importKey('jwk', { ...jwk, d: privateKey }, curve, true, [
      'deriveBits',
    ]),
    publicKey: await crypto.subtle.importKey('jwk', jwk, curve, true, []),
  };
};

const subscription = { p256dh: bytes(rfc8291.ua_public), auth: bytes(rfc8291.auth_secret) };
const sender = await pairOf(rfc8291.as_private, rfc8291.as_public);

/** RFC 8291 from the browser's side, with Node's crypto. */
const decrypted = (body: Uint8Array): string => {
  const [salt, theirs, sealed] = [body.slice(0, 16), body.slice(21, 86), body.slice(86)];
  const own = createECDH('prime256v1');
  own.setPrivateKey(bytes(rfc8291.ua_private));
  const info = Buffer.concat([Buffer.from('WebPush: info\0'), subscription.p256dh, theirs]);
  const input = Buffer.from(
    hkdfSync('sha256', own.computeSecret(theirs), subscription.auth, info, 32),
  );
  const key = Buffer.from(hkdfSync('sha256', input, salt, 'Content-Encoding: aes128gcm\0', 16));
  const nonce = Buffer.from(hkdfSync('sha256', input, salt, 'Content-Encoding: nonce\0', 12));
  const decipher = createDecipheriv('aes-128-gcm', key, nonce);
  decipher.setAuthTag(sealed.slice(-16));
  const plain = Buffer.concat([decipher.update(sealed.slice(0, -16)), decipher.final()]);
  expect(plain.at(-1)).toBe(2);
  return plain.subarray(0, -1).toString('utf8');
};

describe('RFC 8291', () => {
  it('gives the body of section 5, byte by byte', async () => {
    const body = await encryptPush(
      new TextEncoder().encode(rfc8291.plaintext),
      subscription,
      sender,
      bytes(rfc8291.salt),
    );
    if (!body.ok) throw new Error(pushFaultInWords(body.fault));
    expect(base64urlFromBytes(body.value)).toBe(rfc8291.body);
  });

  it('is decrypted by whoever holds the subscription, whatever the text, up to the longest', async () => {
    let compared = 0;
    const curve = { name: 'ECDH', namedCurve: 'P-256' };
    await fc.assert(
      fc.asyncProperty(
        fc.oneof(
          fc.string({ unit: 'grapheme', maxLength: 300 }),
          fc.constant('x'.repeat(longestPushBytes)),
          fc.constant(''),
        ),
        fc.uint8Array({ minLength: 16, maxLength: 16 }),
        async (text, salt) => {
          const fresh = (await crypto.subtle.generateKey(curve, true, [
            'deriveBits',
          ])) as SenderKeys;
          const body = await encryptPush(new TextEncoder().encode(text), subscription, fresh, salt);
          if (!body.ok) throw new Error(pushFaultInWords(body.fault));
          expect(body.value.length).toBeLessThanOrEqual(4096);
          expect(decrypted(body.value)).toBe(text.toWellFormed());
          compared += 1;
        },
      ),
      { numRuns: 40 },
    );
    expect(compared).toBe(40);
  });

  it.each([
    ['too-long', longestPushBytes + 1, subscription, 16],
    ['auth-length', 1, { ...subscription, auth: new Uint8Array(15) }, 16],
    ['salt-length', 1, subscription, 12],
    ['key-not-on-curve', 1, { ...subscription, p256dh: new Uint8Array(65).fill(4) }, 16],
    ['key-not-on-curve', 1, { ...subscription, p256dh: new Uint8Array(0) }, 16],
  ] as const)('refuses as %s', async (kind, length, keys, salt) => {
    const refused = await encryptPush(new Uint8Array(length), keys, sender, new Uint8Array(salt));
    if (refused.ok) throw new Error('encrypted');
    expect(refused.fault.kind).toBe(kind);
    expect(pushFaultInWords(refused.fault)).not.toBe('');
  });
});

describe('RFC 8292', () => {
  it('signs what the token of section 2.4 signs', () => {
    const [header, claims] = rfc8292.jwt.split('.');
    expect(vapidToSign(rfc8292.claims)).toBe(`${header}.${claims}`);
  });

  it('makes a token that Node verifies, with the public key beside it (section 3)', async () => {
    const curve = { name: 'ECDSA', namedCurve: 'P-256' };
    const pair = (await crypto.subtle.generateKey(curve, true, ['sign', 'verify'])) as SenderKeys;
    const raw = new Uint8Array(
      (await crypto.subtle.exportKey('raw', pair.publicKey)) as ArrayBuffer,
    );
    const keys = {
      publicKey: base64urlFromBytes(raw),
      privateKey: (await crypto.subtle.exportKey('jwk', pair.privateKey)) as EcPrivateKey,
    };
    const claims = { aud: 'https://push.example.net', exp: 1_453_523_768 };
    const header = await vapidAuthorization(claims, keys);
    const [, token = '', key] = /^vapid t=([\w.-]+), k=([\w-]+)$/.exec(header) ?? [];
    expect(key).toBe(keys.publicKey);
    const [first, second, signature = ''] = token.split('.');
    const publicKey = createPublicKey({
      key: (await crypto.subtle.exportKey('jwk', pair.publicKey)) as never,
      format: 'jwk',
    });
    const check = (text: string) =>
      verify(
        'sha256',
        Buffer.from(text),
        { key: publicKey, dsaEncoding: 'ieee-p1363' },
        bytes(signature),
      );
    expect(check(`${first}.${second}`)).toBe(true);
    expect(check(`${first}.${second}x`)).toBe(false);
    expect(JSON.parse(Buffer.from(second ?? '', 'base64url').toString())).toEqual(claims);
  });
});

it('base64url is that of Node, and nothing else is read', () => {
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 70 }), (some) => {
      const text = Buffer.from(some).toString('base64url');
      expect(base64urlFromBytes(some)).toBe(text);
      expect(bytesFromBase64url(text)).toEqual(some);
    }),
  );
  for (const text of ['a', 'ab=', 'a+b/', 'ab c', 'é']) expect(bytesFromBase64url(text)).toBeNull();
});
