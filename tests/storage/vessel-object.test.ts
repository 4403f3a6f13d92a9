/** What a vessel's object keeps: over evictions, wake-ups and a schema of the future. */
import { evictDurableObject, runDurableObjectAlarm, runInDurableObject } from 'cloudflare:test';
import { beforeEach, expect, test, vi } from 'vitest';
import { vesselStub } from '../../src/storage/env.ts';
import { type Asking, beginning, cellarWithAle, setClock, testEnv } from '../web/cellar-fixture.ts';

beforeEach(() => setClock(beginning));

type View = {
  readonly batch: { readonly batch: string } | null;
  readonly status: {
    readonly latest: Record<string, { readonly value: number }>;
    readonly alarms: readonly { readonly kind: string; readonly evidence: string }[];
  };
  readonly changes: readonly {
    readonly transition: string;
    readonly alarm: { readonly kind: string };
  }[];
};

const viewOf = async (cellar: Asking): Promise<View> =>
  (await cellar.get('/vessels/fermenter-1')).json<View>();

const minute = (index: number) => [
  {
    n: 'fermenter-1/temperature',
    u: 'Cel',
    v: 19 + 0.1 * Math.sin(index),
    t: beginning + 900 * index,
  },
];

const feed = async (cellar: Asking, from: number, to: number, evict: boolean): Promise<void> => {
  for (let index = from; index < to; index += 1) {
    await setClock(beginning + 900 * index);
    expect((await cellar.send(minute(index))).status).toBe(200);
    if (evict) await evictDurableObject(vesselStub(testEnv, cellar.cellar, 'fermenter-1'));
  }
};

test('an object that is evicted between any two packs judges as one that is not', async () => {
  const [calm, evicted] = [await cellarWithAle(), await cellarWithAle()];
  await feed(calm, 0, 12, false);
  await setClock(beginning);
  await feed(evicted, 0, 12, true);
  expect(await viewOf(evicted)).toEqual(await viewOf(calm));
});

test('a sensor that falls silent is noticed by a wake-up alone, once', async () => {
  const cellar = await cellarWithAle();
  await feed(cellar, 0, 30, false);
  await setClock(beginning + 900 * 30 + 2 * 86_400);
  const stub = vesselStub(testEnv, cellar.cellar, 'fermenter-1');
  await vi.waitFor(
    async () => {
      await runDurableObjectAlarm(stub);
      const { status } = await viewOf(cellar);
      expect(status.alarms.map(({ kind }) => kind)).toEqual(['silent-sensor']);
    },
    { timeout: 10_000, interval: 20 },
  );
  for (let again = 0; again < 3; again += 1) await runDurableObjectAlarm(stub);
  const { changes } = await viewOf(cellar);
  expect(changes.filter(({ transition }) => transition === 'raised')).toHaveLength(1);
});

test('an object written by a newer Gyleward is refused with a clear message', async () => {
  const cellar = await cellarWithAle();
  const stub = vesselStub(testEnv, cellar.cellar, 'fermenter-1');
  await runInDurableObject(stub, (_instance, state) => {
    state.storage.sql.exec('INSERT INTO migration (version) VALUES (999)');
  });
  await evictDurableObject(stub);
  const refusal = await stub.view(beginning).then(String, String);
  expect(refusal).toMatch(/schema version 999.*newer version/);
});

test('an object that is only asked for writes nothing', async () => {
  const stub = vesselStub(testEnv, 'nowhere', 'nothing');
  expect(await stub.view(beginning)).toBeNull();
  expect(await stub.record([], beginning)).toBeNull();
  await runInDurableObject(stub, (_instance, state) => {
    const tables = state.storage.sql
      .exec(`SELECT name FROM sqlite_master WHERE name NOT LIKE '\\_cf%' ESCAPE '\\'`)
      .toArray();
    expect(tables).toEqual([]);
  });
});
