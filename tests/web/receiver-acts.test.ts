/**
 * What a keeper does to receivers: tries them, gives them another secret, sends again what was given up;
 * over HTTP and on the page. Signatures are verified by the reference library of Standard Webhooks.
 */
import { runDurableObjectAlarm } from 'cloudflare:test';
import { Webhook } from 'standardwebhooks';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { cellarStub, vesselStub } from '../../src/storage/env.ts';
import {
  type Asking,
  ask,
  beginning,
  cellarWithAle,
  problemOf,
  setClock,
  testEnv,
} from './cellar-fixture.ts';
import { browserOf } from './page-browser.ts';

beforeEach(() => setClock(beginning));
afterEach(() => vi.restoreAllMocks());

type Received = { readonly headers: Record<string, string>; readonly body: string };
type Letter = {
  readonly id: number;
  readonly headline: string;
  readonly givenUpAt: number;
  readonly tries: number;
  readonly lastOutcome: string | null;
};

const place = (): string => `https://receiver.test/${crypto.randomUUID()}`;

const arrivedAt = async (url: string): Promise<readonly Received[]> =>
  (await fetch(url)).json<Received[]>();

const script = (url: string, statuses: readonly number[]): Promise<Response> =>
  fetch(url, { method: 'PUT', body: JSON.stringify(statuses) });

type Made = { readonly id: string; readonly secret: string };

const receiverAt = async (cellar: Asking, url: string): Promise<Made> => {
  const made = await cellar.post('/receivers', { title: 'Phone of Maren', url });
  expect(made.status).toBe(201);
  return made.json<Made>();
};

const until = (check: () => Promise<void>): Promise<void> =>
  vi.waitFor(check, { timeout: 30_000, interval: 20 });

/** A receiver with two messages that were given up. */
const withDeadLetters = async () => {
  const cellar = await cellarWithAle();
  const url = place();
  await script(url, Array(400).fill(503));
  const receiver = await receiverAt(cellar, url);
  await cellar.send([{ n: 'fermenter-1/gauge-pressure', u: 'Pa', v: 140_000 }]);
  await runDurableObjectAlarm(vesselStub(testEnv, cellar.cellar, 'fermenter-1'));
  const root = `/receivers/${receiver.id}`;
  expect((await cellar.post(`${root}/test`, {})).status).toBe(204);
  const letters = async (): Promise<readonly Letter[]> =>
    (await (await cellar.get(`${root}/dead-letters`)).json<{ deadLetters: Letter[] }>())
      .deadLetters;
  await until(async () => expect((await arrivedAt(url)).length).toBeGreaterThanOrEqual(2));
  let now = beginning + 3 * 86_400;
  await until(async () => {
    now += 900;
    await setClock(now);
    await runDurableObjectAlarm(cellarStub(testEnv, cellar.cellar));
    expect(await letters()).toHaveLength(2);
  });
  await script(url, []);
  const before = (await arrivedAt(url)).length;
  const since = async () => (await arrivedAt(url)).slice(before);
  return { cellar, url, receiver, root, letters, since };
};

describe('a test message', () => {
  test('arrives signed, says that it is one and who sent it, and is no part of the history', async () => {
    const cellar = await cellarWithAle();
    const url = place();
    const { id, secret } = await receiverAt(cellar, url);
    expect((await cellar.post(`/receivers/${id}/test`, {})).status).toBe(204);
    await until(async () => expect(await arrivedAt(url)).toHaveLength(1));
    const [delivery] = await arrivedAt(url);
    if (delivery === undefined) throw new Error('nothing arrived');
    expect(new Webhook(secret).verify(delivery.body, delivery.headers)).toMatchObject({
      type: 'gyleward.test',
      data: { kind: 'test', by: 'First keeper', text: expect.stringContaining('a test') },
    });
    const { history } = await (await cellar.get('/alarms')).json<{ history: unknown[] }>();
    expect(history).toEqual([]);
  });

  test('is for keepers, and for a receiver that there is', async () => {
    const cellar = await cellarWithAle();
    const { id } = await receiverAt(cellar, place());
    const unknown = await cellar.post('/receivers/rcv_none/test', {});
    expect((await problemOf(unknown)).detail).toContain('there is no receiver "rcv_none"');
    const made = await cellar.post('/keys', { title: 'Ines', role: 'operator' });
    const operator = cellar.withKey((await made.json<{ key: string }>()).key);
    for (const path of ['test', 'secret', 'dead-letters/resend'])
      expect((await operator.post(`/receivers/${id}/${path}`, {})).status).toBe(403);
    expect((await operator.get(`/receivers/${id}/dead-letters`)).status).toBe(403);
  });
});

describe('a new secret', () => {
  test('signs beside the former one for 24 hours, then alone', async () => {
    const cellar = await cellarWithAle();
    const url = place();
    const { id, secret: former } = await receiverAt(cellar, url);
    const answer = await cellar.post(`/receivers/${id}/secret`, {});
    const replaced = await answer.json<{ secret: string; formerUntil: number }>();
    expect(replaced.formerUntil).toBe(beginning + 86_400);
    expect(replaced.secret).not.toBe(former);
    const sentBy = async (count: number): Promise<Received> => {
      await cellar.post(`/receivers/${id}/test`, {});
      await until(async () => expect(await arrivedAt(url)).toHaveLength(count));
      const delivery = (await arrivedAt(url)).at(-1);
      if (delivery === undefined) throw new Error('nothing arrived');
      return delivery;
    };
    const both = await sentBy(1);
    for (const secret of [former, replaced.secret])
      expect(new Webhook(secret).verify(both.body, both.headers)).toMatchObject({
        type: 'gyleward.test',
      });
    await setClock(beginning + 86_400);
    const alone = await sentBy(2);
    expect(new Webhook(replaced.secret).verify(alone.body, alone.headers)).toBeDefined();
    expect(() => new Webhook(former).verify(alone.body, alone.headers)).toThrow();
  });
});

describe('dead letters', () => {
  test('say what, when given up and why, and are sent again one by one under their ids', async () => {
    const { cellar, root, letters, since, url } = await withDeadLetters();
    const [test, alarm] = await letters();
    expect(alarm).toMatchObject({
      headline: expect.stringMatching(/^Long Meg: Over-pressure, raised/),
      givenUpAt: expect.any(Number),
      lastOutcome: 'answered 503',
    });
    expect(test?.headline).toBe('Skerrow Yard: a test.');
    const first = (await arrivedAt(url))[0]?.headers['webhook-id'];
    const unknown = await cellar.post(`${root}/dead-letters/resend`, { letter: 999_999 });
    expect(unknown.status).toBe(404);
    const answer = await cellar.post(`${root}/dead-letters/resend`, { letter: alarm?.id });
    expect(await answer.json()).toEqual({ sentAgain: 1 });
    await until(async () => {
      const ids = (await since()).map(({ headers }) => headers['webhook-id']);
      expect(ids).toContain(first);
    });
    expect((await letters()).map(({ id }) => id)).toEqual([test?.id]);
  });

  test('are sent again all at once, from the page too', async () => {
    const { cellar, receiver, letters, since } = await withDeadLetters();
    const browser = await browserOf(cellar.key);
    const page = `/cellars/${cellar.cellar}/receivers/${receiver.id}`;
    const shown = await (await browser.get(page)).text();
    expect(shown).toContain('Long Meg: Over-pressure, raised');
    expect(shown).toContain('last try: answered 503');
    expect((await browser.submit(`${page}/dead-letters/resend`, { letter: 'all' })).status).toBe(
      303,
    );
    await until(async () => expect(await letters()).toEqual([]));
    await until(async () => expect((await since()).length).toBeGreaterThanOrEqual(2));
    expect(await (await browser.get(page)).text()).toContain('Nothing was given up.');
  });
});

describe('the page of a receiver', () => {
  test('sends a test, makes a secret that is shown once, and removes the receiver', async () => {
    const cellar = await cellarWithAle();
    const url = place();
    const { id, secret } = await receiverAt(cellar, url);
    const browser = await browserOf(cellar.key);
    const page = `/cellars/${cellar.cellar}/receivers/${id}`;
    expect(await (await browser.submit(`${page}/test`, {})).text()).toContain(
      'A test is on its way',
    );
    await until(async () => expect(await arrivedAt(url)).toHaveLength(1));
    const renewed = await (await browser.submit(`${page}/secret`, {})).text();
    const shown = /whsec_[A-Za-z0-9+/=]+/.exec(renewed)?.[0];
    expect(shown).toBeDefined();
    expect(shown).not.toBe(secret);
    const again = await (await browser.get(page)).text();
    expect(again).not.toContain('whsec_');
    expect(again).toContain('The former secret signs as well until');
    expect((await browser.submit(`${page}/delete`, {})).status).toBe(303);
    expect((await browser.get(page)).status).toBe(404);
  });

  test('is for keepers', async () => {
    const cellar = await cellarWithAle();
    const { id } = await receiverAt(cellar, place());
    const made = await cellar.post('/keys', { title: 'Ines', role: 'operator' });
    const operator = await browserOf((await made.json<{ key: string }>()).key);
    expect((await operator.get(`/cellars/${cellar.cellar}/receivers/${id}`)).status).toBe(403);
    const elsewhere = await cellarWithAle();
    expect((await operator.get(`/cellars/${elsewhere.cellar}/receivers/${id}`)).status).toBe(404);
  });
});

test('no log line and no listing holds a secret, an address or what was said', async () => {
  const lines: string[] = [];
  vi.spyOn(console, 'log').mockImplementation((line: unknown) => void lines.push(String(line)));
  const { cellar, receiver, root, url } = await withDeadLetters();
  const { secret } = await (await cellar.post(`${root}/secret`, {})).json<Made>();
  await cellar.post(`${root}/dead-letters/resend`, { letter: 'all' });
  const listing = await (await cellar.get('/receivers')).text();
  await ask(`/v1/cellars/${cellar.cellar}${root}`, {
    method: 'DELETE',
    headers: { authorization: `Bearer ${cellar.key}` },
  });
  const events = lines.map((line) => (JSON.parse(line) as { event: string }).event);
  for (const event of ['receiver-added', 'receiver-tested', 'delivery-failed', 'delivery-given-up'])
    expect(events).toContain(event);
  expect(lines.join('\n')).toContain('"by":"First keeper"');
  for (const hidden of [receiver.secret, secret, cellar.key, url, 'Long Meg'])
    expect(lines.join('\n')).not.toContain(hidden);
  for (const hidden of [receiver.secret, secret]) expect(listing).not.toContain(hidden);
});
