/** What is exported and imported again is the same, and a back-fill is bounded, resumable and silent. */
import fc from 'fast-check';
import { beforeEach, describe, expect, test } from 'vitest';
import type { Channel } from '../../src/science/units/channel.ts';
import { vesselStub } from '../../src/storage/env.ts';
import { hourOf } from '../../src/storage/hourly-table.ts';
import { importPage } from '../../src/storage/import-page.ts';
import { readingEnvelopes } from '../../src/storage/reading-envelopes.ts';
import type { ReadingPage } from '../../src/storage/reading-page.ts';
import { type StoredReading, storeReadings } from '../../src/storage/reading-table.ts';
import { thinningStart, thinStep } from '../../src/storage/thin-readings.ts';
import { beginning, cellarWithAle, fermenter, setClock, testEnv } from '../web/cellar-fixture.ts';
import { emptyStore, everyPage, inStore } from './store-fixture.ts';

beforeEach(() => setClock(beginning));

const start = hourOf(beginning);

const finite = fc.double({ noNaN: true, noDefaultInfinity: true }).map((value) => value + 0);
const run = fc
  .record({
    channel: fc.constantFrom<Channel>('temperature', 'gravity', 'mass'),
    begin: fc.integer({ min: 0, max: 6000 }),
    count: fc.oneof(fc.integer({ min: 1, max: 30 }), fc.integer({ min: 300, max: 1500 })),
    step: fc.constantFrom(1, 0.25, 1 / 3),
    odd: fc.option(finite, { nil: null }),
    level: fc.integer({ min: 0, max: 3 }),
  })
  .map(({ channel, begin, count, step, odd, level }) =>
    Array.from(
      { length: count },
      (_, index): StoredReading => ({
        channel,
        time: start + 60 * (begin + index * step),
        value: odd !== null && index % 50 === 7 ? odd : level + (index % 9) / 10,
      }),
    ),
  );

/**
 * Everything that pages hold, however they are cut. Readings as two lines of text for each channel:
 * comparing half a million numbers one by one would take longer than storing them.
 */
const contents = (pages: readonly ReadingPage[]) => {
  const readings: Partial<Record<Channel, { times: string; values: string }>> = {};
  let count = 0;
  for (const { channel, times, values } of pages.flatMap((page) =>
    page.kind === 'readings' ? page.series : [],
  )) {
    const text = readings[channel] ?? { times: '', values: '' };
    readings[channel] = text;
    text.times += `${times.join()},`;
    text.values += `${values.join()},`;
    count += times.length;
  }
  return {
    readings,
    count,
    hours: pages.flatMap((page) =>
      page.kind === 'hours' ? page.hours.map((hour) => ({ channel: page.channel, ...hour })) : [],
    ),
    corrections: pages.flatMap((page) => (page.kind === 'corrections' ? page.corrections : [])),
  };
};

describe('export and import', () => {
  test('give equal readings, hours and corrections, once or twice over', async () => {
    const seen = { readings: 0, hours: 0, corrections: 0, pages: 0 };
    const target = crypto.randomUUID();
    await inStore(async (sql) => {
      await fc.assert(
        fc.asyncProperty(
          fc.array(fc.array(run, { minLength: 1, maxLength: 3 }), { minLength: 1, maxLength: 5 }),
          fc.option(fc.integer({ min: 40, max: 120 }), { nil: null }),
          async (packs, thinnedHours) => {
            emptyStore(sql);
            for (const [index, runs] of packs.entries())
              storeReadings(sql, runs.flat(), start + index);
            const first = packs[0]?.[0]?.[0];
            if (first !== undefined)
              storeReadings(sql, [{ ...first, value: first.value + 77 }], start + 99);
            if (thinnedHours !== null)
              thinStep(sql, thinningStart, { before: start + 3600 * thinnedHours, held: [] });
            const pages = everyPage(sql);
            const expected = contents(pages);
            await inStore((fresh) => {
              emptyStore(fresh);
              for (const page of pages) importPage(fresh, page, start + 999);
              expect(contents(everyPage(fresh))).toEqual(expected);
              for (const page of pages) {
                const again = importPage(fresh, page, start + 999);
                expect(again).toMatchObject({ stored: 0, corrected: 0, hours: 0, corrections: 0 });
              }
              expect(contents(everyPage(fresh))).toEqual(expected);
            }, target);
            seen.readings += expected.count;
            seen.hours += expected.hours.length;
            seen.corrections += expected.corrections.length;
            seen.pages += pages.length;
          },
        ),
        { numRuns: 20 },
      );
    });
    expect(seen.readings).toBeGreaterThan(10_000);
    expect(seen.hours).toBeGreaterThan(20);
    expect(seen.corrections).toBeGreaterThanOrEqual(20);
    expect(seen.pages).toBeGreaterThan(40);
  });

  test('go through the objects, and the copy goes on where the original is', async () => {
    const cellar = await cellarWithAle();
    await cellar.post('/vessels', { ...fermenter, vessel: 'fermenter-2', title: 'Old Tam' });
    const [from, to] = ['fermenter-1', 'fermenter-2'].map((name) =>
      vesselStub(testEnv, cellar.cellar, name),
    );
    if (from === undefined || to === undefined) throw new Error('two vessels are needed');
    const readings = Array.from({ length: 25_000 }, (_, index) => ({
      channel: index % 5 === 0 ? ('gravity' as const) : ('temperature' as const),
      time: beginning - 60 * index,
      value: index % 5 === 0 ? 1.05 : 19 + (index % 40) / 100,
    }));
    await from.importReadings(pageOf(readings), beginning);
    let pages = 0;
    for (let cursor: string | null = null; ; pages += 1) {
      const exported = await from.exportReadings(cursor);
      if (exported === null) throw new Error('the vessel is unknown');
      const { page, next } = exported as { page: ReadingPage; next: string | null };
      if (page.kind === 'readings') {
        const points = page.series.reduce((sum, { times }) => sum + times.length, 0);
        expect(points).toBeLessThanOrEqual(10_540);
      }
      await to.importReadings(page, beginning);
      if (next === null) break;
      cursor = next;
    }
    expect(pages).toBeGreaterThanOrEqual(3);
    const span = { from: beginning - 20 * 86_400, to: beginning + 60, buckets: 200 };
    const charts = await Promise.all([from, to].map((stub) => stub.chart(span, beginning)));
    expect(charts[1]?.series).toEqual(charts[0]?.series);
    expect(await to.record(readings.slice(0, 10), beginning)).toMatchObject({ repeated: 10 });
  });

  const hour = { start, low: 1, mean: 2, high: 4, count: 60 };
  const hours: ReadingPage = { kind: 'hours', channel: 'mass', hours: [hour] };
  const late: StoredReading = { channel: 'mass', time: start + 1800, value: 3 };

  test('hours that were never held in detail are shown, and closed to late readings', async () => {
    await inStore((sql) => {
      storeReadings(sql, [{ ...late, time: start - 60 }], start);
      expect(importPage(sql, hours, start)).toMatchObject({ hours: 1 });
      expect(readingEnvelopes(sql, start, start + 3600, 1)).toEqual({
        mass: { low: [1], high: [4] },
      });
      expect(storeReadings(sql, [late], start)).toMatchObject({ thinned: 1, changed: [] });
      const next = { ...late, time: start + 3600 };
      expect(storeReadings(sql, [next], start).counts.stored).toBe(1);
      expect(contents(everyPage(sql)).count).toBe(2);
    });
  });

  test('hours of which every reading is here are left out, or they would be counted twice', async () => {
    await inStore((sql) => {
      storeReadings(sql, [late], start);
      expect(importPage(sql, hours, start)).toMatchObject({ hours: 0 });
      expect(readingEnvelopes(sql, start, start + 3600, 1)).toEqual({
        mass: { low: [3], high: [3] },
      });
    });
  });

  test.each(['', 'readings', 'readings,1', 'readings,x,mass', 'hours,1,colour', 'corrections,'])(
    'a cursor "%s" that is none of ours gives nothing',
    async (cursor) => {
      const cellar = await cellarWithAle();
      const stub = vesselStub(testEnv, cellar.cellar, 'fermenter-1');
      expect(await stub.exportReadings(cursor)).toBeNull();
    },
  );

  test('a vessel that was never created exports and imports nothing', async () => {
    const stub = vesselStub(testEnv, 'nowhere', crypto.randomUUID());
    expect(await stub.exportReadings(null)).toBeNull();
    expect(await stub.importReadings(pageOf([]), beginning)).toBeNull();
  });
});

const pageOf = (readings: readonly StoredReading[]): ReadingPage => ({
  kind: 'readings',
  series: [...Map.groupBy(readings, ({ channel }) => channel)].map(([channel, own]) => ({
    channel,
    times: Float64Array.from(own, ({ time }) => time),
    values: Float64Array.from(own, ({ value }) => value),
  })),
});

describe('a back-fill', () => {
  test('in any order of pieces, overlapping and resumed, ends with the same readings', async () => {
    const minutes = 20_000;
    const readings = Array.from({ length: minutes }, (_, index) => ({
      channel: 'temperature' as const,
      time: start + 60 * index,
      value: 19 + ((index * 7) % 100) / 100,
    }));
    const pieces = Array.from({ length: 10 }, (_, piece) =>
      readings.slice(piece * 2000, piece * 2000 + 2500),
    );
    const orders = [
      pieces,
      pieces.toReversed(),
      [3, 1, 7, 9, 0, 2, 8, 4, 6, 5, 3, 9].map((index) => pieces[index] ?? []),
    ];
    const stored = await Promise.all(
      orders.map((order) =>
        inStore((sql) => {
          for (const piece of order) importPage(sql, pageOf(piece), start);
          const { rows, most } = sql
            .exec<{ rows: number; most: number }>(
              'SELECT count(*) AS rows, max(count) AS most FROM block',
            )
            .one();
          expect(most).toBeLessThanOrEqual(540);
          expect(rows).toBeLessThan((1.6 * minutes) / 360);
          return contents(everyPage(sql));
        }),
      ),
    );
    expect(stored[0]?.count).toBe(minutes);
    expect(stored[1]).toEqual(stored[0]);
    expect(stored[2]).toEqual(stored[0]);
  });

  test('wakes nobody: what was far out of its band a month ago is no news', async () => {
    const cellar = await cellarWithAle();
    const stub = vesselStub(testEnv, cellar.cellar, 'fermenter-1');
    const hot = (time: number): StoredReading => ({ channel: 'temperature', time, value: 35 });
    const bursting = (time: number): StoredReading => ({
      channel: 'gauge-pressure',
      time,
      value: 150_000,
    });
    const old = Array.from({ length: 3000 }, (_, index) => beginning - 60 * (index + 1)).flatMap(
      (time) => [hot(time), bursting(time)],
    );
    expect(await stub.importReadings(pageOf(old), beginning)).toMatchObject({ stored: 6000 });
    const view = await stub.view(beginning);
    expect(view?.changes).toEqual([]);
    expect(view?.status.alarms).toEqual([]);
  });

  test('that comes through the door of live readings is stored, and judged from its batch on only', async () => {
    const cellar = await cellarWithAle();
    const stub = vesselStub(testEnv, cellar.cellar, 'fermenter-1');
    const old = Array.from({ length: 100 }, (_, index) => ({
      channel: 'gauge-pressure' as const,
      time: beginning - 10 * 86_400 - 60 * index,
      value: 150_000,
    }));
    expect(await stub.record(old, beginning)).toMatchObject({ stored: 100 });
    expect((await stub.view(beginning))?.changes).toEqual([]);
  });

  test('refuses a number that is none', async () => {
    await inStore((sql) => {
      const page = pageOf([{ channel: 'mass', time: start, value: Number.NaN }]);
      expect(() => importPage(sql, page, start)).toThrow(/NaN/);
    });
  });
});
