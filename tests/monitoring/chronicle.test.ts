/** The chronicle: order of arrival does not matter within its window, its size is bounded, medians are medians. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  bucketSeconds,
  type Chronicle,
  chronicle,
  emptyChronicle,
  heardIn,
} from '../../src/monitoring/course/chronicle.ts';
import type { Point } from '../../src/monitoring/watched.ts';

const start = 1_770_001_200;

const gravity = (time: number, value: number): Point => ({ channel: 'gravity', time, value });

describe('chronicle', () => {
  it('ends the same for any order of arrival within the lateness window', () => {
    fc.assert(
      fc.property(
        fc.array(
          fc.record({
            offset: fc.integer({ min: 0, max: 1799 }),
            value: fc.float({ min: Math.fround(1.01), max: Math.fround(1.06), noNaN: true }),
          }),
          { minLength: 1, maxLength: 30 },
        ),
        fc.infiniteStream(fc.nat()),
        (readings, order) => {
          const points = readings.map(({ offset, value }) => gravity(start + offset, value));
          const shuffled = [...points]
            .map((point) => ({ point, key: order.next().value ?? 0 }))
            .sort((a, b) => a.key - b.key)
            .map(({ point }) => point);
          const fed = (sequence: readonly Point[]): Chronicle => {
            let state = emptyChronicle;
            for (const point of sequence) state = chronicle(state, [point], start + 1800).chronicle;
            return chronicle(state, [gravity(start + 7200, 1.05)], start + 7200).chronicle;
          };
          expect(fed(shuffled).rows).toEqual(fed(points).rows);
          expect(fed(points).rows.length).toBeGreaterThanOrEqual(1);
        },
      ),
    );
  });

  it('ends the same for any order and any packs of a sensor that sends every second or so', () => {
    let dense = 0;
    const reading = fc.record({
      channel: fc.constantFrom('gravity' as const, 'temperature' as const),
      // Two buckets, seconds and their fractions.
      offset: fc.oneof(
        fc.integer({ min: 0, max: 3599 }),
        fc.integer({ min: 0, max: 35_999 }).map((tenths) => tenths / 10),
      ),
      value: fc.integer({ min: 990, max: 1100 }).map((points) => points / 1000),
    });
    fc.assert(
      fc.property(
        fc.array(reading, { minLength: 150, maxLength: 900, size: 'max' }),
        fc.infiniteStream(fc.nat()),
        fc.infiniteStream(fc.integer({ min: 1, max: 40 })),
        (readings, order, sizes) => {
          const points = readings.map(
            ({ channel, offset, value }): Point => ({ channel, time: start + offset, value }),
          );
          const shuffled = points
            .map((point) => ({ point, key: order.next().value ?? 0 }))
            .sort((a, b) => a.key - b.key)
            .map(({ point }) => point);
          const now = start + 3600;
          let open = emptyChronicle;
          for (let from = 0; from < shuffled.length; ) {
            const size = sizes.next().value ?? 1;
            // The last pack is sent again, as a sensor does that got no answer.
            const pack = shuffled.slice(from, from + size);
            open = chronicle(chronicle(open, pack, start).chronicle, pack, start).chronicle;
            from += size;
          }
          const once = chronicle(emptyChronicle, points, start).chronicle;
          expect(open).toEqual(once);
          expect(JSON.parse(JSON.stringify(open))).toEqual(once);
          for (const { raw } of open.open) {
            for (const heard of raw) {
              expect(heard.length).toBeLessThanOrEqual(48);
              if (heard.length === 48) dense += 1;
            }
          }
          const later = now + 3600;
          expect(chronicle(open, [], later).chronicle).toEqual(
            chronicle(once, [], later).chronicle,
          );
        },
      ),
      { numRuns: 60 },
    );
    // Enough buckets held more than they keep.
    expect(dense).toBeGreaterThan(60);
  });

  it('keeps of a reading a second the level and nothing of one end', () => {
    const rising = Array.from({ length: 1800 }, (_, second) =>
      gravity(start + second, 1.04 + second / 1_800_000),
    );
    const state = chronicle(emptyChronicle, rising, start + 7200).chronicle;
    const row = state.rows[0];
    // The middle of the rise, within a fiftieth of it.
    expect(Math.abs(((row && heardIn(row, 'gravity')) ?? 0) - 1.0405)).toBeLessThan(0.00002);
  });

  it('fills a gap with readings that come hours late, and leaves what it has', () => {
    let state = emptyChronicle;
    for (let time = start; time < start + 40 * bucketSeconds; time += 900) {
      const missing = time >= start + 10 * bucketSeconds && time < start + 12 * bucketSeconds;
      if (!missing) state = chronicle(state, [gravity(time, 1.05)], time).chronicle;
    }
    const now = start + 40 * bucketSeconds;
    const rows = state.rows.length;
    const late = chronicle(
      state,
      [gravity(start + 10 * bucketSeconds + 60, 1.04), gravity(start + 60, 1.01)],
      now,
    );
    expect(late.closed).toBe(true);
    expect(late.chronicle.rows.length).toBeGreaterThan(rows);
    const filled = late.chronicle.rows.find(([from]) => from === start + 10 * bucketSeconds);
    expect(filled && heardIn(filled, 'gravity')).toBe(1.04);
    const kept = late.chronicle.rows[0];
    expect(kept && heardIn(kept, 'gravity')).toBe(1.05);
  });

  it('stays bounded over sixty days, ordered, and true to a smooth course', () => {
    let state = emptyChronicle;
    const course = (time: number): number =>
      1.012 + 0.04 / (1 + Math.exp((time - start - 4 * 86_400) / 70_000));
    for (let time = start; time < start + 60 * 86_400; time += 3600) {
      state = chronicle(state, [gravity(time, course(time))], time).chronicle;
    }
    expect(JSON.stringify(state).length).toBeLessThan(14_000);
    let compared = 0;
    let before = 0;
    for (const row of state.rows) {
      expect(row[0]).toBeGreaterThanOrEqual(before);
      before = row[0] + row[1];
      const value = heardIn(row, 'gravity');
      if (value === null) continue;
      // Within what the course itself covers in the row's span.
      const high = course(row[0]) + 1e-6;
      const low = course(row[0] + row[1]) - 1e-6;
      expect(value).toBeLessThanOrEqual(high);
      expect(value).toBeGreaterThanOrEqual(low);
      compared += 1;
    }
    expect(compared).toBeGreaterThan(150);
  });

  it('takes the median of a bucket, so that one wild reading moves nothing', () => {
    let state = emptyChronicle;
    const values = [1.05, 1.0502, 1.1, 1.0501, 1.0499];
    state = chronicle(
      state,
      values.map((value, i) => gravity(start + i * 300, value)),
      start + 1500,
    ).chronicle;
    state = chronicle(state, [gravity(start + 7200, 1.05)], start + 7200).chronicle;
    const row = state.rows[0];
    expect(row && heardIn(row, 'gravity')).toBe(1.0501);
  });
});
