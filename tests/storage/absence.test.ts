/**
 * Gyleward itself was away: told from the wake-up that nobody answered, also after a restart, and
 * never from a quiet vessel.
 */
import { beforeEach, expect, test } from 'vitest';
import { absenceOf } from '../../src/storage/absence.ts';
import { beginning, cellarWithAle, setClock } from '../web/cellar-fixture.ts';
import { type Counted, withCountedObject } from './counted-object.ts';

beforeEach(() => setClock(beginning));

const minutes = 60;

/** A reading each quarter of an hour; the last arrives at the moment given back. */
const feed = async ({ vessel, passTo }: Counted, packs: number): Promise<number> => {
  let now = beginning;
  for (let pack = 0; pack < packs; pack += 1) {
    now = beginning + 15 * minutes * (pack + 1);
    await passTo(now);
    await vessel.record([{ channel: 'temperature', time: now, value: 19 + (pack % 5) / 10 }], now);
  }
  return now;
};

const absenceIn = async ({ vessel }: Counted, now: number) =>
  (await vessel.view(now))?.absence ?? null;

test('an outage is noticed at the restart and dated from the last sign of life', async () => {
  const cellar = await cellarWithAle();
  await withCountedObject(cellar.cellar, 'fermenter-1', beginning, async (counted) => {
    const last = await feed(counted, 30);
    expect(await absenceIn(counted, last)).toBeNull();
    const back = last + 9 * 3600;
    counted.sleepTo(back);
    const restarted = await counted.restart();
    expect(await absenceIn(restarted, back)).toEqual({ from: last, to: back });
    await restarted.passTo(back + 60);
    expect(await absenceIn(restarted, back + 60)).toEqual({ from: last, to: back });
  });
});

test('an outage is noticed by the late wake-up alone where the object stayed in memory', async () => {
  const cellar = await cellarWithAle();
  await withCountedObject(cellar.cellar, 'fermenter-1', beginning, async (counted) => {
    const last = await feed(counted, 30);
    const back = last + 9 * 3600;
    counted.sleepTo(back);
    await counted.passTo(back);
    expect(await absenceIn(counted, back)).toEqual({ from: last, to: back });
  });
});

test('a reading that comes before the late wake-up notices the outage too, and no sensor is blamed', async () => {
  const cellar = await cellarWithAle();
  await withCountedObject(cellar.cellar, 'fermenter-1', beginning, async (counted) => {
    const { vessel, passTo, sleepTo } = counted;
    let last = beginning;
    for (let pack = 0; pack < 30; pack += 1) {
      last = beginning + 15 * minutes * (pack + 1);
      await passTo(last);
      await vessel.record(
        [{ channel: 'temperature', time: last, value: 19 + (pack % 5) / 10 }],
        last,
      );
      await passTo(last + 60);
      const time = last + 60;
      await vessel.record([{ channel: 'ph', time, value: 4.3 + (pack % 3) / 100 }], time);
    }
    const back = last + 9 * 3600;
    sleepTo(back);
    await vessel.record([{ channel: 'temperature', time: back, value: 19.2 }], back);
    expect(await absenceIn(counted, back)).toEqual({ from: last + 60, to: back });
    await passTo(back + 600);
    const kinds = (await vessel.view(back + 600))?.changes.map(({ alarm }) => alarm.kind);
    expect(kinds?.filter((kind) => kind === 'silent-sensor')).toEqual([]);
  });
});

test('an outage told by a clock that was ahead excuses no silence once the clock is set back', async () => {
  const cellar = await cellarWithAle();
  await withCountedObject(cellar.cellar, 'fermenter-1', beginning, async (counted) => {
    const last = await feed(counted, 30);
    const wrong = last + 50 * 3600;
    counted.sleepTo(wrong);
    await counted.passTo(wrong);
    expect(await absenceIn(counted, wrong)).toEqual({ from: last, to: wrong });
    const right = last + 60;
    counted.sleepTo(right);
    expect(await absenceIn(counted, right)).toBeNull();
    await counted.vessel.record([{ channel: 'temperature', time: right, value: 19 }], right);
    await counted.passTo(right + 5 * 3600 + 1);
    const told = (await counted.vessel.view(right + 5 * 3600 + 1))?.changes ?? [];
    const silences = told.filter(
      ({ alarm, transition }) => alarm.kind === 'silent-sensor' && transition === 'raised',
    );
    expect(silences).toHaveLength(1);
  });
});

test('a restart in the middle of a quiet hour is no absence', async () => {
  const cellar = await cellarWithAle();
  await withCountedObject(cellar.cellar, 'fermenter-1', beginning, async (counted) => {
    const last = await feed(counted, 30);
    await counted.passTo(last + 5 * minutes);
    const restarted = await counted.restart();
    expect(await absenceIn(restarted, last + 5 * minutes)).toBeNull();
  });
});

test('a vessel that waits for nothing is not away, however long it is left alone', async () => {
  const cellar = await cellarWithAle();
  await withCountedObject(cellar.cellar, 'fermenter-1', beginning, async (counted) => {
    const later = beginning + 90 * 86_400;
    counted.sleepTo(later);
    expect(await absenceIn(await counted.restart(), later)).toBeNull();
  });
});

test('wake-ups that come when they are due leave no absence over two silent weeks', async () => {
  const cellar = await cellarWithAle();
  await withCountedObject(cellar.cellar, 'fermenter-1', beginning, async (counted) => {
    const last = await feed(counted, 30);
    for (let day = 1; day <= 14; day += 1) {
      await counted.passTo(last + day * 86_400);
      const restarted = await counted.restart();
      expect(await absenceIn(restarted, last + day * 86_400)).toBeNull();
    }
  });
});

test.each([
  ['nothing was planned', null, 100, 10_000, null],
  ['the wake-up is not due yet', { dueAt: 20_000, setAt: 100 }, 100, 10_000, null],
  ['it came five minutes late', { dueAt: 9700, setAt: 100 }, 100, 10_000, null],
  ['it came later than that', { dueAt: 9699, setAt: 100 }, 50, 10_000, { from: 100, to: 10_000 }],
  [
    'readings came after it was set',
    { dueAt: 9000, setAt: 100 },
    8000,
    10_000,
    { from: 8000, to: 10_000 },
  ],
  ['no reading ever came', { dueAt: 9000, setAt: 100 }, null, 10_000, { from: 100, to: 10_000 }],
] as const)('%s', (_name, planned, lastReceipt, now, expected) => {
  expect(absenceOf(planned, lastReceipt, now)).toEqual(expected);
});
