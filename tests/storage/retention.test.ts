/**
 * Retention: full detail for its time, then least, mean and greatest value of each hour; what is held
 * is never thinned, and no step does more than its share.
 */
import fc from 'fast-check';
import { beforeEach, describe, expect, test } from 'vitest';
import { cellarStub } from '../../src/storage/env.ts';
import { type Hour, hourOf, hoursBetween } from '../../src/storage/hourly-table.ts';
import { readingEnvelopes } from '../../src/storage/reading-envelopes.ts';
import { readingSpan } from '../../src/storage/reading-span.ts';
import { type StoredReading, storeReadings, storeSeries } from '../../src/storage/reading-table.ts';
import { settleUpTo } from '../../src/storage/settle-up-to.ts';
import {
  type HeldSpan,
  type ThinningPlace,
  thinningStart,
  thinStep,
} from '../../src/storage/thin-readings.ts';
import { beginning, cellarWithAle, setClock, testEnv } from '../web/cellar-fixture.ts';
import { withCountedObject } from './counted-object.ts';
import { emptyStore, everyPoint, inStore } from './store-fixture.ts';

beforeEach(() => setClock(beginning));

const day = 86_400;
const start = hourOf(beginning);
const channel = 'temperature';

/** Thins to the end; tells how many steps that took. */
const thinAll = (sql: SqlStorage, before: number, held: readonly HeldSpan[] = []): number => {
  let steps = 0;
  for (let place: ThinningPlace | null = thinningStart; place !== null; steps += 1)
    place = thinStep(sql, place, { before, held });
  return steps;
};

const ever = [Number.MIN_SAFE_INTEGER, Number.MAX_SAFE_INTEGER] as const;
const hoursOf = (sql: SqlStorage): readonly Hour[] => hoursBetween(sql, channel, ...ever);

/** Every `stepMinutes` a reading, all of them in blocks. */
const fill = (sql: SqlStorage, days: number, stepMinutes: number): void => {
  const times = Float64Array.from(
    { length: (days * 1440) / stepMinutes },
    (_, index) => start + 60 * stepMinutes * index,
  );
  const values = times.map((_, index) => Math.round(1900 + 100 * Math.sin(index / 40)) / 100);
  storeSeries(sql, new Map([[channel, { times, values }]]), start);
  settleUpTo(sql, channel, start + (days + 1) * day, start);
};

const spanHours = fc
  .tuple(fc.integer({ min: -10, max: 300 }), fc.option(fc.integer({ min: 1, max: 100 })))
  .map(([from, length]) => ({
    from: start + 3600 * from + 61,
    to: length === null ? null : start + 3600 * (from + length) + 61,
  }));

describe('thinning', () => {
  test('keeps each reading of a held hour, and of each other old hour its four numbers', async () => {
    let [thinned, kept] = [0, 0];
    await inStore((sql) => {
      fc.assert(
        fc.property(
          fc.constantFrom(2, 7, 30, 90),
          fc.integer({ min: 0, max: 300 }),
          fc.array(spanHours, { maxLength: 3 }),
          (stepMinutes, hours, held) => {
            emptyStore(sql);
            fill(sql, 12, stepMinutes);
            const points = everyPoint(sql).get(channel) ?? [];
            const before = start + 3600 * hours + 1800;
            const isHeld = (time: number) =>
              held.some(
                ({ from, to }) => hourOf(time) + 3600 > from && hourOf(time) <= (to ?? ever[1]),
              );
            const due = points.filter(([time]) => hourOf(time) + 3600 <= before && !isHeld(time));
            const byHour = Map.groupBy(due, ([time]) => hourOf(time));

            thinAll(sql, before, held);
            expect(everyPoint(sql).get(channel) ?? []).toEqual(
              points.filter(([time]) => !byHour.has(hourOf(time))),
            );
            expect(hoursOf(sql).map(({ start }) => start)).toEqual([...byHour.keys()]);
            for (const hour of hoursOf(sql)) {
              const values = byHour.get(hour.start)?.map(([, value]) => value) ?? [];
              expect(hour.count).toBe(values.length);
              expect(hour.low).toBe(Math.min(...values));
              expect(hour.high).toBe(Math.max(...values));
              // Seven digits are kept of a mean.
              const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
              expect(Math.abs(hour.mean - mean)).toBeLessThan(0.51e-5);
            }
            thinned += due.length;
            kept += points.length - due.length;
          },
        ),
        { numRuns: 40 },
      );
    });
    expect(thinned).toBeGreaterThan(1000);
    expect(kept).toBeGreaterThan(1000);
  });

  test('in many passes comes to the same as in one', async () => {
    const [once, often] = await Promise.all(
      [1, 30].map((passes) =>
        inStore((sql) => {
          fill(sql, 12, 3);
          for (let pass = 1; pass <= passes; pass += 1)
            thinAll(sql, start + (12 * day * pass) / passes);
          return hoursOf(sql);
        }),
      ),
    );
    expect(once).toHaveLength(12 * 24);
    expect(often).toEqual(once);
  });

  test('goes in steps of at most 64 blocks', async () => {
    await inStore((sql) => {
      fill(sql, 40, 1);
      const blocks = 40 * 4;
      expect(sql.exec('SELECT count(*) AS count FROM block').one().count).toBe(blocks);
      const steps: number[] = [];
      let left = blocks;
      for (let place: ThinningPlace | null = thinningStart; place !== null; ) {
        place = thinStep(sql, place, { before: start + 40 * day, held: [] });
        const { count } = sql.exec<{ count: number }>('SELECT count(*) AS count FROM block').one();
        steps.push(left - count);
        left = count;
      }
      expect(steps).toEqual([64, 64, 32]);
    });
  });

  test.each([
    ['a minute: blocks of six hours', 60, 40 * 24],
    ['a second: ten blocks an hour', 1, 30],
    ['a tenth of a second: more blocks an hour than a step takes', 0.1, 4],
  ])('takes each hour whole, at a reading each %s', async (_name, step, hours) => {
    await inStore((sql) => {
      const times = Float64Array.from(
        { length: (3600 / step) * hours },
        (_, index) => start + 1500 + index * step,
      );
      storeSeries(sql, new Map([[channel, { times, values: times.map(() => 19) }]]), start);
      settleUpTo(sql, channel, start + 3600 * (hours + 1), start);
      let steps = 0;
      for (let place: ThinningPlace | null = thinningStart; place !== null; steps += 1) {
        place = thinStep(sql, place, { before: start + 3600 * (hours + 1), held: [] });
        const thinned = hoursOf(sql).at(-1)?.start ?? 0;
        const [first] = everyPoint(sql).get(channel) ?? [];
        if (first !== undefined) expect(hourOf(first[0])).toBeGreaterThan(thinned);
      }
      expect(steps).toBeGreaterThan(2);
      expect(everyPoint(sql).get(channel)).toBeUndefined();
      const counts = hoursOf(sql).map(({ count }) => count);
      expect(counts).toHaveLength(hours + 1);
      expect([counts[0], counts.at(-1)]).toEqual([2100 / step, 1500 / step]);
      expect(new Set(counts.slice(1, -1))).toEqual(new Set([3600 / step]));
    });
  });

  test('keeps held hours whole between hours that are thinned, in any number of steps', async () => {
    await inStore((sql) => {
      const times = Float64Array.from({ length: 3600 * 30 }, (_, index) => start + 1500 + index);
      storeSeries(sql, new Map([[channel, { times, values: times.map(() => 19) }]]), start);
      settleUpTo(sql, channel, start + 3600 * 31, start);
      const odd = Array.from({ length: 15 }, (_, index) => start + 3600 * (2 * index + 1));
      const held = odd.map((hour) => ({ from: hour + 1, to: hour + 3599 }));
      thinAll(sql, start + 3600 * 40, held);
      expect(hoursOf(sql).map((hour) => (hour.start - start) / 3600)).toEqual(
        Array.from({ length: 16 }, (_, index) => 2 * index),
      );
      expect(everyPoint(sql).get(channel)).toHaveLength(15 * 3600);
    });
  });

  test('leaves an hour that reaches into the tail until all of it can be taken', async () => {
    await inStore((sql) => {
      const times = Float64Array.from({ length: 1500 }, (_, index) => start + 60 * index);
      storeSeries(sql, new Map([[channel, { times, values: times.map(() => 19) }]]), start);
      // Four blocks end with minute 1439; one reading more of their last hour is in the tail.
      const half: StoredReading = { channel, time: start + 3600 * 24 - 1, value: 20 };
      storeReadings(sql, [half], start);
      thinAll(sql, start + 3600 * 30);
      expect(hoursOf(sql)).toHaveLength(23);
      expect(everyPoint(sql).get(channel)).toHaveLength(60 + 1 + 60);
    });
  });

  test('saves what it is for: a year at one a minute shrinks to a seventh', async () => {
    await inStore((sql) => {
      fill(sql, 365, 1);
      const bytes = (table: string) =>
        sql.exec<{ sum: number }>(`SELECT total(length(body)) AS sum FROM ${table}`).one().sum;
      const before = bytes('block');
      thinAll(sql, start + 365 * day);
      expect(bytes('block')).toBe(0);
      expect(bytes('hourly')).toBeLessThan(before / 7);
    });
  });

  test('leaves a chart its spikes and its span', async () => {
    await inStore((sql) => {
      fill(sql, 20, 1);
      const spike: StoredReading = { channel, time: start + 5 * day + 7777, value: 31 };
      storeReadings(sql, [spike], start);
      const span = readingSpan(sql, ...ever);
      const before = readingEnvelopes(sql, start, start + 20 * day, 40);
      thinAll(sql, start + 10 * day);
      const after = readingEnvelopes(sql, start, start + 20 * day, 40);
      expect(after).toEqual(before);
      expect(Math.max(...(after.temperature?.high ?? []).map(Number))).toBe(31);
      // The hour of the first reading is known, its minute is not.
      expect(readingSpan(sql, ...ever)).toEqual({ ...span, first: start });
    });
  });

  test('leaves aside a reading of an hour that was thinned, since it may be counted there', async () => {
    await inStore((sql) => {
      fill(sql, 4, 10);
      thinAll(sql, start + 2 * day);
      const hours = hoursOf(sql);
      const old: StoredReading = { channel, time: start + 600, value: 19 };
      const young: StoredReading = { channel, time: start + 3 * day + 61, value: 19 };
      const outcome = storeReadings(sql, [old, young], start);
      expect(outcome).toMatchObject({ thinned: 1, counts: { stored: 1 }, changed: [young] });
      expect(hoursOf(sql)).toEqual(hours);
    });
  });
});

const hold = (held: boolean) => ({ held, by: 'Wren', note: null });

describe('an object', () => {
  const send = async (cellar: string, from: number, days: number): Promise<void> =>
    withCountedObject(cellar, 'fermenter-1', from, async ({ vessel, passTo }) => {
      for (let index = 0; index < days; index += 1) {
        const now = from + day * (index + 1);
        await passTo(now);
        await vessel.record(
          Array.from({ length: 144 }, (_, minute) => ({
            channel,
            time: from + day * index + 600 * minute,
            value: 19,
          })),
          now,
        );
      }
    });

  /** Lets a time pass with nothing but wake-ups; tells the oldest reading and hour that are left. */
  const wait = async (cellar: string, until: number) => {
    let left = { detail: 0, hours: 0, wakeUps: 0 };
    await withCountedObject(cellar, 'fermenter-1', beginning, async (counted) => {
      await counted.passTo(until);
      left = {
        detail: (everyPoint(counted.sql).get(channel) ?? []).length,
        hours: hoursOf(counted.sql).length,
        wakeUps: counted.wakeUps(),
      };
    });
    return left;
  };

  test('thins by wake-ups alone once the batch has ended and the days are over', async () => {
    const cellar = await cellarWithAle();
    await send(cellar.cellar, beginning, 20);
    expect(await wait(cellar.cellar, beginning + 500 * day)).toMatchObject({ hours: 0 });
    await setClock(beginning + 500 * day);
    await cellar.post('/batches/haymaker-12/end', {});
    const later = await wait(cellar.cellar, beginning + 502 * day);
    expect(later.hours).toBeGreaterThan(19 * 24 - 24);
    expect(later.detail).toBeLessThan(360);
  });

  test('keeps a batch under legal hold, and thins it when the hold is lifted', async () => {
    const cellar = await cellarWithAle();
    await send(cellar.cellar, beginning, 20);
    await setClock(beginning + 21 * day);
    await cellar.post('/batches/haymaker-12/end', {});
    const stub = cellarStub(testEnv, cellar.cellar);
    expect(await stub.setLegalHold('haymaker-12', hold(true), beginning)).toBe(true);
    expect(await stub.setLegalHold('haymaker-99', hold(true), beginning)).toBe(false);
    expect((await stub.batch('haymaker-12'))?.legalHold).toBe(true);
    const held = await wait(cellar.cellar, beginning + 500 * day);
    expect(held).toMatchObject({ detail: 20 * 144, hours: 0 });
    expect(held.wakeUps).toBeLessThan(150);
    await stub.setLegalHold('haymaker-12', hold(false), beginning);
    expect((await wait(cellar.cellar, beginning + 502 * day)).hours).toBeGreaterThan(19 * 24 - 24);
  });

  test.each([3, 20])(
    'looks at a back-fill a day later, and thins it by its age; with %s days of its own',
    async (days) => {
      const cellar = await cellarWithAle();
      await send(cellar.cellar, beginning, days);
      const then = beginning + (days + 1) * day;
      await wait(cellar.cellar, then);
      await withCountedObject(cellar.cellar, 'fermenter-1', then, async (counted) => {
        const { vessel, passTo, sql } = counted;
        const times = Float64Array.from(
          { length: 3000 },
          (_, index) => start - 900 * day + 60 * index,
        );
        const series = [{ channel, times, values: times.map(() => 12) } as const];
        await vessel.importReadings({ kind: 'readings', series }, then);
        await passTo(then + 0.9 * day);
        expect(hoursOf(sql)).toEqual([]);
        await passTo(then + 1.1 * day);
        expect(hoursOf(sql)).toHaveLength(50);
      });
    },
  );

  test('goes by the days that its cellar keeps, also when they are changed', async () => {
    const cellar = await cellarWithAle();
    await send(cellar.cellar, beginning, 20);
    await setClock(beginning + 21 * day);
    await cellar.post('/batches/haymaker-12/end', {});
    const stub = cellarStub(testEnv, cellar.cellar);
    expect(await stub.keepDays()).toBe(400);
    for (const wrong of [0, 29, Number.NaN, Number.POSITIVE_INFINITY, 36_501])
      expect(await stub.setKeepDays(wrong, 'Wren', beginning + 21 * day)).toBe(false);
    expect((await wait(cellar.cellar, beginning + 60 * day)).hours).toBe(0);
    expect(await stub.setKeepDays(30, 'Wren', beginning + 60 * day)).toBe(true);
    expect((await wait(cellar.cellar, beginning + 60 * day + 1)).hours).toBeGreaterThan(18 * 24);
  });
});
