/**
 * What is stored against a model that is nothing but a map: any packs, in any order, late, repeated
 * and corrected, long enough that the tail settles into blocks and blocks are cut.
 */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Channel } from '../../src/science/units/channel.ts';
import { correctionsAfter } from '../../src/storage/correction-table.ts';
import { readingEnvelopes } from '../../src/storage/reading-envelopes.ts';
import { readingSpan } from '../../src/storage/reading-span.ts';
import { type StoredReading, storeReadings } from '../../src/storage/reading-table.ts';
import { settleUpTo } from '../../src/storage/settle-up-to.ts';
import { settle } from '../../src/storage/tail.ts';
import { readMarks } from '../../src/storage/tail-table.ts';
import { emptyStore, everyPoint, inStore } from './store-fixture.ts';

const start = 1_900_000_000;

const channel = fc.constantFrom<Channel>('temperature', 'gravity', 'gauge-pressure', 'ph');

/** A run of readings of one channel: a pack of a sensor, a backlog, or a single reading. */
const run = fc
  .record({
    channel,
    begin: fc.integer({ min: 0, max: 4000 }),
    count: fc.oneof(fc.integer({ min: 1, max: 20 }), fc.integer({ min: 200, max: 900 })),
    step: fc.constantFrom(1, 2, 0.125, 0.1),
    offset: fc.constantFrom(0, 0, 0, 0.5),
    level: fc.integer({ min: -5, max: 5 }),
  })
  .map(({ channel, begin, count, step, offset, level }) =>
    Array.from(
      { length: count },
      (_, index): StoredReading => ({
        channel,
        time: start + 60 * (begin + index * step) + offset,
        value: level + (index % 7) / 100,
      }),
    ),
  );

const pack = fc
  .tuple(fc.array(run, { minLength: 1, maxLength: 4 }), fc.boolean())
  .map(([runs, shuffled]) => {
    const readings = runs.flat();
    return shuffled
      ? readings.toSorted((one, other) => ((one.value * 97) % 1) - ((other.value * 97) % 1))
      : readings;
  });

type Model = Map<Channel, Map<number, number>>;

const store = (model: Model, readings: readonly StoredReading[]) => {
  const counts = { stored: 0, repeated: 0, corrected: 0 };
  const corrections: (readonly [Channel, number, number, number])[] = [];
  for (const { channel, time, value } of readings) {
    const known = model.get(channel) ?? new Map<number, number>();
    model.set(channel, known);
    const before = known.get(time);
    if (before === undefined) counts.stored += 1;
    else if (before === value) counts.repeated += 1;
    else {
      counts.corrected += 1;
      corrections.push([channel, time, before, value]);
    }
    known.set(time, value);
  }
  return { counts, corrections };
};

const sorted = (model: Model) =>
  new Map([...model].map(([name, points]) => [name, [...points].sort(([a], [b]) => a - b)]));

const blocksOf = (sql: SqlStorage) =>
  sql
    .exec<{
      channel: Channel;
      first: number;
      last: number;
      count: number;
      low: number;
      high: number;
    }>('SELECT channel, first, last, count, low, high FROM block ORDER BY channel, first')
    .toArray();

test('any packs in any order are stored as a map would store them', async () => {
  let cut = 0;
  await inStore((sql) => {
    fc.assert(
      fc.property(fc.array(pack, { minLength: 1, maxLength: 7 }), (packs) => {
        emptyStore(sql);
        const model: Model = new Map();
        const corrections: (readonly [Channel, number, number, number])[] = [];
        packs.forEach((readings, index) => {
          const expected = store(model, readings);
          const outcome = storeReadings(sql, readings, start + index);
          expect(outcome.counts).toEqual(expected.counts);
          expect(outcome.thinned).toBe(0);
          corrections.push(...expected.corrections);
        });
        const points = everyPoint(sql);
        expect(points).toEqual(
          new Map([...points.keys()].map((name) => [name, sorted(model).get(name)])),
        );
        expect(points.size).toBe(model.size);

        const kept = correctionsAfter(sql, 0, 1000).flatMap(({ channel, points }) =>
          points.map(({ time, replaced, value }) => [channel, time, replaced, value] as const),
        );
        const order = (all: typeof corrections) => all.map((one) => one.join(' ')).sort();
        expect(order(kept)).toEqual(order(corrections));

        const marks = readMarks(sql);
        const blocks = blocksOf(sql);
        cut += blocks.length;
        for (const [index, block] of blocks.entries()) {
          const own = points
            .get(block.channel)
            ?.filter(([time]) => time >= block.first && time <= block.last);
          expect(own?.length).toBe(block.count);
          expect(block.count).toBeLessThanOrEqual(540);
          const values = own?.map(([, value]) => value) ?? [];
          expect([block.low, block.high]).toEqual([Math.min(...values), Math.max(...values)]);
          const before = blocks[index - 1];
          if (before?.channel === block.channel) expect(before.last).toBeLessThan(block.first);
          expect(block.last).toBeLessThanOrEqual(marks[block.channel]?.settled ?? 0);
        }
        for (const [name, own] of points) {
          expect(marks[name]?.newest).toBe(own.at(-1)?.[0]);
          const settled = blocks
            .filter((block) => block.channel === name)
            .reduce((sum, { count }) => sum + count, 0);
          expect(settled + (marks[name]?.count ?? 0)).toBe(own.length);
        }
      }),
      { numRuns: 60 },
    );
  });
  expect(cut).toBeGreaterThan(200);
});

test('only what changed is told, so that it alone is judged', async () => {
  await inStore((sql) => {
    const at = (minute: number, value: number): StoredReading => ({
      channel: 'temperature',
      time: start + 60 * minute,
      value,
    });
    storeReadings(sql, [at(0, 19), at(1, 19.1)], start);
    const { changed } = storeReadings(sql, [at(2, 19.2), at(1, 18), at(0, 19)], start);
    expect(changed).toEqual([at(2, 19.2), at(1, 18)]);
  });
});

test('a pack that is sent again writes nothing at all', async () => {
  await inStore((sql) => {
    const readings = Array.from({ length: 2000 }, (_, index) => ({
      channel: 'temperature' as const,
      time: start + 60 * index,
      value: 19 + (index % 10) / 10,
    }));
    storeReadings(sql, readings, start);
    const before = sql.exec('SELECT * FROM tail').toArray();
    const outcome = storeReadings(sql, readings, start + 1);
    expect(outcome.counts).toEqual({ stored: 0, repeated: 2000, corrected: 0 });
    expect(outcome.changed).toEqual([]);
    expect(sql.exec('SELECT * FROM tail').toArray()).toEqual(before);
  });
});

test('a zero that was rounded from below is a zero', async () => {
  await inStore((sql) => {
    const reading = { channel: 'gauge-pressure', time: start, value: -0 } as const;
    storeReadings(sql, [reading], start);
    expect(storeReadings(sql, [{ ...reading, value: 0 }], start).counts.repeated).toBe(1);
    expect(Object.is(everyPoint(sql).get('gauge-pressure')?.[0]?.[1], 0)).toBe(true);
  });
});

test('what leaves the tail is worth a row, and little is left behind', () => {
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 3000 }), (count) => {
      const times = Float64Array.from({ length: count }, (_, index) => index);
      const { blocks, rest } = settle({ times, values: times });
      expect([...blocks, rest].flatMap((part) => [...part.times])).toEqual([...times]);
      expect(rest.times.length).toBeLessThan(120);
      for (const block of blocks) {
        expect(block.times.length).toBeLessThanOrEqual(360);
        expect(block.times.length).toBeGreaterThanOrEqual(120);
      }
    }),
  );
});

describe('reading back', () => {
  test('the span and the envelopes are those of a plain loop over the readings', async () => {
    let compared = 0;
    await inStore((sql) => {
      fc.assert(
        fc.property(
          fc.array(pack, { minLength: 1, maxLength: 4 }),
          fc.integer({ min: -100, max: 5000 }),
          fc.integer({ min: 1, max: 5000 }),
          fc.constantFrom(1, 2, 5, 40, 300),
          fc.boolean(),
          (packs, begin, length, buckets, settled) => {
            emptyStore(sql);
            for (const readings of packs) storeReadings(sql, readings, start);
            const points = everyPoint(sql);
            if (settled) for (const name of points.keys()) settleUpTo(sql, name, start * 2, start);
            const from = start + 60 * begin;
            const to = from + 60 * length;

            const times = [...points.values()].flatMap((own) => own.map(([time]) => time));
            const inside = times.filter((time) => time >= from && time <= to);
            expect(readingSpan(sql, from, to)).toEqual(
              inside.length === 0
                ? null
                : { first: Math.min(...inside), last: Math.max(...inside) },
            );

            const envelopes = readingEnvelopes(sql, from, to, buckets);
            for (const [name, own] of points) {
              const values = Array.from({ length: buckets }, (): number[] => []);
              for (const [time, value] of own) {
                if (time < from || time >= to) continue;
                const bucket = Math.floor((time - from) * (buckets / (to - from)));
                values[Math.min(buckets - 1, bucket)]?.push(value);
                compared += 1;
              }
              // Values of the runs have two decimals: no channel here but pressure is rounded.
              const round = (value: number) =>
                name === 'gauge-pressure' ? Math.round(value) + 0 : Number(value.toFixed(2));
              const expected = {
                low: values.map((all) => (all.length === 0 ? null : round(Math.min(...all)))),
                high: values.map((all) => (all.length === 0 ? null : round(Math.max(...all)))),
              };
              if (values.every((all) => all.length === 0)) expect(envelopes[name]).toBeUndefined();
              else expect(envelopes[name]).toEqual(expected);
            }
          },
        ),
        { numRuns: 120 },
      );
    });
    expect(compared).toBeGreaterThan(10_000);
  });
});
