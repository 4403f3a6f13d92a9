/** Retention and legal hold over HTTP: what is held is never thinned, who may decide, and that it is written down. */
import { beforeEach, describe, expect, test } from 'vitest';
import { vesselStub } from '../../src/storage/env.ts';
import { withCountedObject } from '../storage/counted-object.ts';
import {
  type Asking,
  beginning,
  cellarWithAle,
  problemOf,
  setClock,
  testEnv,
} from './cellar-fixture.ts';

const day = 86_400;

beforeEach(() => setClock(beginning));

const put = (cellar: Asking, path: string, body: unknown) =>
  cellar.sendAs(path, 'application/json', JSON.stringify(body), { method: 'PUT' });

const hold = (cellar: Asking, held: boolean, batch = 'haymaker-12') =>
  put(cellar, `/batches/${batch}/legal-hold`, { held, note: 'complaint 14' });

/** Readings in full detail that are left once wake-ups have done what was due. */
const leftAt = async (cellar: Asking, now: number): Promise<number> => {
  await withCountedObject(cellar.cellar, 'fermenter-1', beginning, ({ passTo }) => passTo(now));
  const stub = vesselStub(testEnv, cellar.cellar, 'fermenter-1');
  let left = 0;
  for (let cursor: string | null = null; ; ) {
    const page = await stub.exportReadings(cursor);
    if (page?.page.kind === 'readings')
      for (const { times } of page.page.series) left += times.length;
    cursor = page?.next ?? null;
    if (cursor === null) return left;
  }
};

const readings = 5 * 1440;

const withFilledBatch = async (): Promise<Asking> => {
  const cellar = await cellarWithAle();
  await setClock(beginning + 6 * day);
  const text = `time,temperature (°C)\n${Array.from({ length: readings }, (_, index) => `${beginning + 60 * index},19.${index % 9}\n`).join('')}`;
  const filled = await cellar.sendAs('/vessels/fermenter-1/history', 'text/csv', text);
  expect(await filled.json()).toMatchObject({ stored: readings });
  return cellar;
};

describe('readings past their days', () => {
  test('stay while their batch is not finished, and while it is under legal hold', async () => {
    const cellar = await withFilledBatch();
    await put(cellar, '/retention', { keepDays: 30 });
    expect(await leftAt(cellar, beginning + 100 * day)).toBe(readings);
    expect((await hold(cellar, true)).status).toBe(200);
    await setClock(beginning + 100 * day);
    await cellar.post('/batches/haymaker-12/end', {});
    expect(await leftAt(cellar, beginning + 200 * day)).toBe(readings);
    await setClock(beginning + 200 * day);
    expect(await (await hold(cellar, false)).json()).toEqual({ batch: 'haymaker-12', held: false });
    expect(await leftAt(cellar, beginning + 202 * day)).toBeLessThan(readings / 10);
  });
});

describe('the journal', () => {
  test('says who did what and when, and nothing where nothing changed', async () => {
    const cellar = await withFilledBatch();
    const made = await cellar.post('/keys', {
      title: 'Wren of the office',
      role: 'keeper',
      vessels: null,
    });
    const { key } = await made.json<{ key: string }>();
    const wren = cellar.withKey(key);
    await put(wren, '/retention', { keepDays: 730 });
    await setClock(beginning + 7 * day);
    for (const held of [true, true, false]) await hold(wren, held);
    const { journal } = await (await cellar.get('/journal')).json<{
      journal: readonly { readonly id: number; readonly act: string }[];
    }>();
    const ofRecords = ['legal-hold-lifted', 'legal-hold-set', 'kept-days-set', 'history-filled'];
    const told = {
      about: 'haymaker-12',
      by: 'Wren of the office',
      at: beginning + 7 * day,
      note: 'complaint 14',
      facts: {},
    };
    expect(
      journal.filter(({ act }) => ofRecords.includes(act)).map(({ id: _, ...entry }) => entry),
    ).toEqual([
      { act: 'legal-hold-lifted', ...told },
      { act: 'legal-hold-set', ...told },
      {
        act: 'kept-days-set',
        about: cellar.cellar,
        by: 'Wren of the office',
        at: beginning + 6 * day,
        note: null,
        facts: { before: 400, days: 730 },
      },
      {
        act: 'history-filled',
        about: 'fermenter-1',
        by: 'First keeper',
        at: beginning + 6 * day,
        note: null,
        facts: {
          columns: 'time, temperature (°C)',
          rows: readings,
          stored: readings,
          repeated: 0,
          corrected: 0,
          first: beginning,
          last: beginning + 60 * (readings - 1),
        },
      },
    ]);
    expect(await (await cellar.get('/retention')).json()).toEqual({ keepDays: 730 });
  });
});

describe('what is refused', () => {
  test.each([
    ['days too few', '/retention', { keepDays: 29 }, 422, /keepDays must be at least 30/],
    ['days too many', '/retention', { keepDays: 36_501 }, 422, /keepDays must be at most 36500/],
    ['days in words', '/retention', { keepDays: 'all' }, 422, /keepDays/],
    ['an unknown batch', '/batches/haymaker-99/legal-hold', { held: true }, 404, /haymaker-99/],
    ['a hold that says neither', '/batches/haymaker-12/legal-hold', {}, 422, /held/],
    [
      'a hold with a member too many',
      '/batches/haymaker-12/legal-hold',
      { held: true, until: 1 },
      422,
      /until/,
    ],
  ])('%s', async (_name, path, body, status, words) => {
    const cellar = await cellarWithAle();
    const before = await (await cellar.get('/journal')).json();
    const answer = await put(cellar, path, body);
    expect(answer.status).toBe(status);
    expect((await problemOf(answer)).detail).toMatch(words);
    expect(await (await cellar.get('/journal')).json()).toEqual(before);
  });

  test('whoever is no keeper', async () => {
    const cellar = await cellarWithAle();
    for (const role of ['operator', 'viewer']) {
      const made = await cellar.post('/keys', { title: role, role, vessels: null });
      const { key } = await made.json<{ key: string }>();
      const other = cellar.withKey(key);
      expect((await put(other, '/retention', { keepDays: 60 })).status).toBe(403);
      expect((await hold(other, true)).status).toBe(403);
      expect((await other.get('/journal')).status).toBe(403);
      expect(await (await other.get('/retention')).json()).toEqual({ keepDays: 400 });
    }
  });
});
