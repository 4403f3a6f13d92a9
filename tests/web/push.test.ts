/**
 * Web push from a browser's subscription to the push service: RFC 8030 (request), RFC 8291 (opened here by the
 * subscription's own key, with code of the test's), RFC 8292 (token verified by the key that the page shows).
 * The push service is the test's; that of a browser's vendor was not reached.
 */
import { runDurableObjectAlarm } from 'cloudflare:test';
import { beforeEach, describe, expect, test, vi } from 'vitest';
import { deliver } from '../../src/storage/deliver.ts';
import { cellarStub, vesselStub } from '../../src/storage/env.ts';
import type { OwnNews } from '../../src/storage/news.ts';
import { base64urlFromBytes, bytesFromBase64url } from '../../src/wire/base64url.ts';
import { type Asking, ask, beginning, cellarWithAle, setClock, testEnv } from './cellar-fixture.ts';
import { browserOf } from './page-browser.ts';

beforeEach(() => setClock(beginning));

type Received = { readonly headers: Record<string, string>; readonly base64: string };
type Bytes = Uint8Array<ArrayBuffer>;

const curve = { name: 'ECDH', namedCurve: 'P-256' };
const arrivedAt = async (url: string): Promise<readonly Received[]> =>
  (await fetch(url)).json<Received[]>();
const raw = async (key: CryptoKey): Promise<Bytes> =>
  new Uint8Array((await crypto.subtle.exportKey('raw', key)) as ArrayBuffer);
const bytes = (text: string): Bytes => Uint8Array.from(bytesFromBase64url(text) ?? []);

/** A browser's subscription, and how it opens what comes. */
const newSubscription = async () => {
  const pair = (await crypto.subtle.generateKey(curve, true, ['deriveBits'])) as CryptoKeyPair;
  const auth = crypto.getRandomValues(new Uint8Array(16));
  const p256dh = await raw(pair.publicKey);
  const derive = async (material: Bytes, salt: Bytes, info: Bytes, length: number) =>
    new Uint8Array(
      await crypto.subtle.deriveBits(
        { name: 'HKDF', hash: 'SHA-256', salt, info },
        await crypto.subtle.importKey('raw', material, 'HKDF', false, ['deriveBits']),
        length * 8,
      ),
    );
  const ascii = (text: string): Bytes => Uint8Array.from(new TextEncoder().encode(text));
  return {
    body: {
      endpoint: `https://push.test/${crypto.randomUUID()}`,
      keys: { p256dh: base64urlFromBytes(p256dh), auth: base64urlFromBytes(auth) },
    },
    open: async (base64: string): Promise<Record<string, string>> => {
      const all = Uint8Array.from(atob(base64), (character) => character.charCodeAt(0));
      const [salt, theirs, sealed] = [all.slice(0, 16), all.slice(21, 86), all.slice(86)];
      expect(new DataView(all.buffer).getUint32(16)).toBe(4096);
      const shared = await crypto.subtle.deriveBits(
        {
          name: 'ECDH',
          public: await crypto.subtle.importKey('raw', theirs, curve, false, []),
        } as never,
        pair.privateKey,
        256,
      );
      const info = new Uint8Array([...ascii('WebPush: info\0'), ...p256dh, ...theirs]);
      const input = await derive(new Uint8Array(shared), auth, info, 32);
      const key = await derive(input, salt, ascii('Content-Encoding: aes128gcm\0'), 16);
      const iv = await derive(input, salt, ascii('Content-Encoding: nonce\0'), 12);
      const plain = await crypto.subtle.decrypt(
        { name: 'AES-GCM', iv },
        await crypto.subtle.importKey('raw', key, 'AES-GCM', false, ['decrypt']),
        sealed,
      );
      return JSON.parse(new TextDecoder().decode(plain.slice(0, -1)));
    },
  };
};

const postJson = (cookie: string, path: string, body: unknown): Promise<Response> =>
  ask(path, {
    method: 'POST',
    headers: { cookie, 'content-type': 'application/json', origin: 'http://cellar.test' },
    body: JSON.stringify(body),
  });

const subscribed = async (key?: (cellar: Asking) => Promise<string>) => {
  const cellar = await cellarWithAle();
  const browser = await browserOf(key === undefined ? cellar.key : await key(cellar));
  const page = await (await browser.get(`/cellars/${cellar.cellar}/set-up`)).text();
  const subscription = await newSubscription();
  const { body } = subscription;
  const path = `/cellars/${cellar.cellar}/push-subscriptions`;
  expect((await postJson(browser.cookie, path, body)).status).toBe(204);
  return {
    cellar,
    browser,
    path,
    endpoint: body.endpoint,
    subscription,
    publicKey: /data-key="([\w-]+)"/.exec(page)?.[1] ?? '',
    listed: async () =>
      (
        await (
          await cellar.get('/receivers')
        ).json<{ receivers: { id: string; kind: string; url: string }[] }>()
      ).receivers,
  };
};

const overPressure = async (cellar: Asking): Promise<void> => {
  await cellar.send([{ n: 'fermenter-1/gauge-pressure', u: 'Pa', v: 140_000 }]);
  await runDurableObjectAlarm(vesselStub(testEnv, cellar.cellar, 'fermenter-1'));
};

const until = (check: () => Promise<void>): Promise<void> =>
  vi.waitFor(check, { timeout: 30_000, interval: 20 });

describe('a push', () => {
  test('reaches the push service encrypted and signed, and says what the alarm says', async () => {
    const { cellar, endpoint, subscription, publicKey } = await subscribed();
    await overPressure(cellar);
    await until(async () => expect((await arrivedAt(endpoint)).length).toBeGreaterThan(0));
    const [push] = await arrivedAt(endpoint);
    if (push === undefined) throw new Error('nothing arrived');
    expect(push.headers).toMatchObject({
      'content-encoding': 'aes128gcm',
      ttl: '86400',
      urgency: 'high',
      topic: expect.stringMatching(/^[\w-]{1,32}$/),
    });
    const payload = await subscription.open(push.base64);
    expect(payload).toMatchObject({
      title: 'Long Meg: Over-pressure, raised. High: act at once.',
      body: expect.stringContaining('Seen: '),
      open: expect.stringContaining(`https://cellar.example/acknowledge/${cellar.cellar}.`),
    });
    const [, token = '', key] =
      /^vapid t=([\w.-]+), k=([\w-]+)$/.exec(push.headers.authorization ?? '') ?? [];
    expect(key).toBe(publicKey);
    const [header = '', claims = '', signature = ''] = token.split('.');
    const verified = await crypto.subtle.verify(
      { name: 'ECDSA', hash: 'SHA-256' },
      await crypto.subtle.importKey(
        'raw',
        bytes(publicKey),
        { name: 'ECDSA', namedCurve: 'P-256' },
        false,
        ['verify'],
      ),
      bytes(signature),
      new TextEncoder().encode(`${header}.${claims}`),
    );
    expect(verified).toBe(true);
    const { aud, exp, sub } = JSON.parse(new TextDecoder().decode(bytes(claims)));
    expect([aud, sub]).toEqual(['https://push.test', 'https://cellar.example/']);
    // RFC 8292 section 2: not more than 24 hours ahead.
    expect(exp - Date.now() / 1000).toBeGreaterThan(0);
    expect(exp - Date.now() / 1000).toBeLessThanOrEqual(86_400);
  });

  test.each([404, 410])('that is answered %i drops the subscription', async (status) => {
    const { cellar, endpoint, listed } = await subscribed();
    expect((await listed()).map(({ kind, url }) => [kind, url])).toEqual([
      ['push', 'https://push.test'],
    ]);
    await fetch(endpoint, { method: 'PUT', body: JSON.stringify([status]) });
    await overPressure(cellar);
    await until(async () => expect(await listed()).toEqual([]));
    expect((await arrivedAt(endpoint)).length).toBe(1);
  });

  test('that the push service cannot take is tried again', async () => {
    const { cellar, endpoint } = await subscribed();
    await fetch(endpoint, { method: 'PUT', body: '[503]' });
    await overPressure(cellar);
    let minutes = 0;
    await until(async () => {
      minutes += 1;
      await setClock(beginning + minutes * 60);
      await runDurableObjectAlarm(cellarStub(testEnv, cellar.cellar));
      expect((await arrivedAt(endpoint)).length).toBeGreaterThanOrEqual(2);
    });
  });
});

describe('a subscription', () => {
  test('is any signed-in person’s, is kept once, and ends with the key or when told to', async () => {
    let keyId = '';
    const { cellar, browser, path, endpoint, subscription, listed } = await subscribed(
      async (asking) => {
        const made = await asking.post('/keys', { title: 'Ines', role: 'viewer' });
        const body = await made.json<{ key: string; keyId: string }>();
        keyId = body.keyId;
        return body.key;
      },
    );
    expect((await postJson(browser.cookie, path, subscription.body)).status).toBe(204);
    expect((await listed()).length).toBe(1);
    expect((await postJson(browser.cookie, `${path}/remove`, { endpoint })).status).toBe(204);
    expect(await listed()).toEqual([]);
    await postJson(browser.cookie, path, subscription.body);
    await ask(`/v1/cellars/${cellar.cellar}/keys/${keyId}`, {
      method: 'DELETE',
      headers: { authorization: `Bearer ${cellar.key}` },
    });
    await overPressure(cellar);
    await until(async () => expect(await listed()).toEqual([]));
    expect(await arrivedAt(endpoint)).toEqual([]);
    expect((await postJson(browser.cookie, path, subscription.body)).status).toBe(303);
  });

  test('is refused where it is none', async () => {
    const { browser, path, subscription } = await subscribed();
    const { body } = subscription;
    for (const broken of [
      { ...body, endpoint: 'push.test' },
      { ...body, keys: { ...body.keys, auth: 'AAAA' } },
      { ...body, keys: { ...body.keys, p256dh: body.keys.auth } },
      { endpoint: body.endpoint },
    ])
      expect((await postJson(browser.cookie, path, broken)).status).toBe(422);
  });

  test('at a private address is not sent to unless the operator allows it', async () => {
    const message: OwnNews = {
      id: 'news_1',
      cellar: 'skerrow',
      cellarTitle: 'Skerrow Yard',
      body: { kind: 'test', at: beginning, by: 'Maren' },
    };
    const send = vi.fn<typeof fetch>();
    const route = {
      kind: 'push',
      url: 'https://192.168.0.7/push',
      p256dh: new Uint8Array(65),
      auth: new Uint8Array(16),
      contact: null,
      isWanted: true,
    } as const;
    const sending = { message, link: null, timestamp: beginning, vapid: null, send };
    expect(await deliver(route, sending, false)).toMatchObject({
      kind: 'failed',
      words: 'not sent: the address must not be a private, loopback or bare IPv6 address',
    });
    expect(send).not.toHaveBeenCalled();
  });
});

test('the service worker is served at the root, fresh each time', async () => {
  const answer = await ask('/push-worker.js');
  expect(answer.headers.get('content-type')).toMatch(/^text\/javascript/);
  expect(answer.headers.get('cache-control')).toBe('no-cache');
  expect(await answer.text()).toContain('notificationclick');
});
