/** A dead Gyleward is noticed: heartbeats that come at their interval, and a health answer that is found out. */
import { runDurableObjectAlarm, runInDurableObject } from 'cloudflare:test';
import { beforeEach, describe, expect, test, vi } from 'vitest';
import { cellarStub, healthProbe } from '../../src/storage/env.ts';
import { probeHealth } from '../../src/storage/health-probe.ts';
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

type Beat = { readonly type: string; readonly time: string; readonly data: { unanswered: number } };

const beatsAt = async (url: string): Promise<readonly Beat[]> =>
  (await (await fetch(url)).json<{ body: string }[]>())
    .map(({ body }) => JSON.parse(body) as Beat)
    .filter(({ type }) => type === 'gyleward.heartbeat');

const withReceiver = async () => {
  const cellar = await cellarWithAle();
  const url = `https://receiver.test/${crypto.randomUUID()}`;
  const made = await cellar.post('/receivers', { title: 'Office', url });
  const { id } = await made.json<{ id: string }>();
  return { cellar, url, id };
};

const setBeat = (cellar: Asking, id: string, everyMinutes: unknown): Promise<Response> =>
  ask(`/v1/cellars/${cellar.cellar}/receivers/${id}/heartbeat`, {
    method: 'PUT',
    headers: { authorization: `Bearer ${cellar.key}`, 'content-type': 'application/json' },
    body: JSON.stringify({ everyMinutes }),
  });

const until = (check: () => Promise<void>): Promise<void> =>
  vi.waitFor(check, { timeout: 30_000, interval: 20 });

describe('a heartbeat', () => {
  test('comes at once, then at its interval, counts what nobody has answered, and ends when told to', async () => {
    const { cellar, url, id } = await withReceiver();
    const stub = cellarStub(testEnv, cellar.cellar);
    expect((await setBeat(cellar, id, 15)).status).toBe(204);
    await until(async () => expect(await beatsAt(url)).toHaveLength(1));
    await setClock(beginning + 15 * 60 - 1);
    await runDurableObjectAlarm(stub);
    await stub.receivers(beginning);
    expect(await beatsAt(url)).toHaveLength(1);
    await cellar.send([{ n: 'fermenter-1/gauge-pressure', u: 'Pa', v: 140_000 }]);
    await until(async () => expect((await stub.standingAlarms()).length).toBeGreaterThan(0));
    await setClock(beginning + 15 * 60);
    await until(async () => {
      await runDurableObjectAlarm(stub);
      expect((await beatsAt(url)).map(({ data }) => data.unanswered)).toEqual([0, 1]);
    });
    expect((await setBeat(cellar, id, null)).status).toBe(204);
    await setClock(beginning + 3600);
    await runDurableObjectAlarm(stub);
    expect(await beatsAt(url)).toHaveLength(2);
  });

  test('that fails is not tried again, holds no alarm up, and the next one follows', async () => {
    const { cellar, url, id } = await withReceiver();
    const stub = cellarStub(testEnv, cellar.cellar);
    await fetch(url, { method: 'PUT', body: '[500]' });
    await setBeat(cellar, id, 60);
    await until(async () =>
      expect((await stub.receivers(beginning))[0]?.lastOutcome).toBe('answered 500'),
    );
    await cellar.post(`/receivers/${id}/test`, {});
    await until(async () =>
      expect((await stub.receivers(beginning))[0]?.lastOutcome).toBe('answered 204'),
    );
    expect(await beatsAt(url)).toHaveLength(1);
    await setClock(beginning + 3600);
    await until(async () => {
      await runDurableObjectAlarm(stub);
      expect(await beatsAt(url)).toHaveLength(2);
    });
  });

  test('is set on the page, and only within bounds; who did it is in the journal', async () => {
    const { cellar, id } = await withReceiver();
    for (const minutes of [0, 1.5, 1441, 'often'])
      expect((await problemOf(await setBeat(cellar, id, minutes))).status).toBe(422);
    const browser = await browserOf(cellar.key);
    const page = `/cellars/${cellar.cellar}/receivers/${id}`;
    expect((await browser.submit(`${page}/heartbeat`, { everyMinutes: '60' })).status).toBe(303);
    expect(await (await browser.get(page)).text()).toMatch(
      /<option value="60" selected="">Every hour/,
    );
    const journal = await cellarStub(testEnv, cellar.cellar).journal(2, null);
    expect(journal.map(({ act, by, about }) => [act, by, about])).toEqual([
      ['receiver-heartbeat-set', 'First keeper', id],
      ['receiver-added', 'First keeper', id],
    ]);
  });
});

describe('the health answer', () => {
  test('is found out by a write and a wake-up, and reveals nothing else', async () => {
    const answer = await ask('/healthz');
    expect(answer.status).toBe(200);
    expect(Object.keys(await answer.json<object>()).toSorted()).toEqual([
      'status',
      'storage',
      'timeSeconds',
      'wakeUps',
    ]);
    const stub = healthProbe(testEnv);
    await runInDurableObject(stub, async (_instance, state) => {
      expect(await state.storage.getAlarm()).not.toBeNull();
      expect(await state.storage.get('probe')).toBeDefined();
    });
  });

  test('says so when a planned wake-up stays away, and when it has come again', async () => {
    const stub = healthProbe(testEnv);
    const now = Date.now();
    await stub.probe(now);
    expect(await stub.probe(now + 3600_000)).toEqual({ storage: 'ok', wakeUps: 'late' });
    await runDurableObjectAlarm(stub);
    expect(await stub.probe(now + 3600_000)).toEqual({ storage: 'ok', wakeUps: 'ok' });
  });

  test('says so when storage does not take a write', async () => {
    const failing = {
      get: async () => undefined,
      getAlarm: async () => null,
      setAlarm: async () => undefined,
      put: async () => {
        throw new Error('disk full');
      },
    } as unknown as DurableObjectStorage;
    expect(await probeHealth(failing, 0)).toEqual({ storage: 'failing', wakeUps: 'ok' });
  });
});
