/** News reaches a receiver: signed after Standard Webhooks, retried from rows, once in the end. */
import { runDurableObjectAlarm } from 'cloudflare:test';
import { Webhook } from 'standardwebhooks';
import { beforeEach, expect, test, vi } from 'vitest';
import { cellarStub, vesselStub } from '../../src/storage/env.ts';
import { envelopeFaults } from '../wire/published-envelope.ts';
import { type Asking, beginning, cellarWithAle, setClock, testEnv } from './cellar-fixture.ts';

beforeEach(() => setClock(beginning));

type Received = { readonly headers: Record<string, string>; readonly body: string };

const place = (): string => `https://receiver.test/${crypto.randomUUID()}`;

const arrivedAt = async (url: string): Promise<readonly Received[]> =>
  (await fetch(url)).json<Received[]>();

const script = (url: string, statuses: readonly number[]): Promise<Response> =>
  fetch(url, { method: 'PUT', body: JSON.stringify(statuses) });

const receiverAt = async (cellar: Asking, url: string): Promise<string> => {
  const made = await cellar.post('/receivers', { title: 'Phone of Maren', url });
  expect(made.status).toBe(201);
  return (await made.json<{ secret: string }>()).secret;
};

/** The rated pressure is 100 kPa: this is an alarm on the spot. */
const overPressure = (cellar: Asking) =>
  cellar.send([{ n: 'fermenter-1/gauge-pressure', u: 'Pa', v: 140_000 }]);

const runWakeUps = async (cellar: Asking): Promise<void> => {
  await runDurableObjectAlarm(vesselStub(testEnv, cellar.cellar, 'fermenter-1'));
  await runDurableObjectAlarm(cellarStub(testEnv, cellar.cellar));
};

/** Wake-ups fire by themselves as well; this only hurries them on. */
const until = (check: () => Promise<void>): Promise<void> =>
  vi.waitFor(check, { timeout: 10_000, interval: 20 });

test('an alarm is delivered once, and the reference library verifies its signature', async () => {
  const cellar = await cellarWithAle();
  const url = place();
  const secret = await receiverAt(cellar, url);
  expect((await overPressure(cellar)).status).toBe(200);
  await runWakeUps(cellar);
  await until(async () => expect(await arrivedAt(url)).not.toHaveLength(0));
  const [delivery] = await arrivedAt(url);
  if (delivery === undefined) throw new Error('nothing arrived');
  const event = new Webhook(secret).verify(delivery.body, delivery.headers) as Record<
    string,
    unknown
  >;
  expect(event).toMatchObject({
    specversion: '1.0',
    id: delivery.headers['webhook-id'],
    type: 'gyleward.alarm.raised',
    data: {
      vessel: 'fermenter-1',
      vesselTitle: 'Long Meg',
      batch: 'haymaker-12',
      change: { transition: 'raised', alarm: { kind: 'over-pressure', state: 'unacknowledged' } },
      text: expect.stringMatching(/^Long Meg: Over-pressure, raised\. High: act at once\.\nSeen: /),
    },
  });
  expect(envelopeFaults(event)).toEqual([]);
  expect(delivery.headers['content-type']).toMatch(/application\/cloudevents\+json/);
});

test('a receiver that fails is tried again with the same id, and delays no other', async () => {
  const cellar = await cellarWithAle();
  const [failing, healthy] = [place(), place()];
  await script(failing, Array(60).fill(500));
  await receiverAt(cellar, failing);
  await receiverAt(cellar, healthy);
  await overPressure(cellar);
  await runWakeUps(cellar);
  await until(async () => {
    expect(await arrivedAt(healthy)).toHaveLength(1);
    expect((await arrivedAt(failing)).length).toBeGreaterThanOrEqual(1);
  });
  const { receivers } = await (await cellar.get('/receivers')).json<{
    receivers: { url: string; waiting: number; lastOutcome: string }[];
  }>();
  expect(receivers.find(({ url }) => url === failing)).toMatchObject({
    waiting: 1,
    lastOutcome: 'answered 500',
  });
  /** An hour at such a pressure raises other alarms too; each waits for itself. */
  const idsAt = async (url: string) =>
    (await arrivedAt(url))
      .filter(({ body }) => body.includes('"kind":"over-pressure"'))
      .map(({ headers }) => headers['webhook-id']);
  let minutes = 0;
  await until(async () => {
    minutes += 10;
    await setClock(beginning + minutes * 60);
    await runDurableObjectAlarm(cellarStub(testEnv, cellar.cellar));
    expect((await idsAt(failing)).length).toBeGreaterThan(2);
  });
  const ids = await idsAt(failing);
  expect(new Set(ids).size).toBe(1);
  expect(new Set(await idsAt(healthy))).toEqual(new Set(ids));
});

test('a receiver that stays dead is given up after three days, and the count says so', async () => {
  const cellar = await cellarWithAle();
  const url = place();
  await script(url, Array(50).fill(500));
  await receiverAt(cellar, url);
  await overPressure(cellar);
  await runWakeUps(cellar);
  await until(async () => expect(await arrivedAt(url)).toHaveLength(1));
  let now = beginning + 3 * 86_400;
  await until(async () => {
    now += 900;
    await setClock(now);
    await runDurableObjectAlarm(cellarStub(testEnv, cellar.cellar));
    const { receivers } = await (await cellar.get('/receivers')).json<{
      receivers: { waiting: number; givenUp: number }[];
    }>();
    expect(receivers[0]?.givenUp).toBeGreaterThanOrEqual(1);
  });
});

test('news that is relayed twice is told once', async () => {
  const cellar = await cellarWithAle();
  const stub = cellarStub(testEnv, cellar.cellar);
  const news = {
    id: 'news_twice',
    cellar: cellar.cellar,
    vessel: 'fermenter-1',
    vesselTitle: 'Long Meg',
    batch: null,
    batchTitle: null,
    body: {
      kind: 'happening',
      happening: { kind: 'fermentation-finished', at: beginning, words: 'still at 1.011' },
    },
  } as const;
  await stub.takeNews([news], beginning);
  await stub.takeNews([news, { ...news, id: 'news_other' }], beginning);
  const { history } = await (await cellar.get('/alarms')).json<{ history: unknown[] }>();
  expect(history).toHaveLength(2);
});
