/** What must hold of any stream: state survives eviction, stays small, and lets no NaN out. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  beginWatch,
  curveOf,
  judge,
  nextDue,
  statusOf,
  type WatchState,
} from '../../src/monitoring/watch.ts';
import type { Point } from '../../src/monitoring/watched.ts';
import { harbourAle } from './harbour-ale.ts';

const start = 1_770_000_000;

const watched = harbourAle(start);

const points: fc.Arbitrary<Point> = fc.oneof(
  fc.record({
    channel: fc.constant('gravity' as const),
    time: fc.integer({ min: start - 86_400, max: start + 40 * 86_400 }),
    value: fc.double({ min: 0.95, max: 1.25, noNaN: true }),
  }),
  fc.record({
    channel: fc.constant('temperature' as const),
    time: fc.integer({ min: start - 86_400, max: start + 40 * 86_400 }),
    value: fc.double({ min: -40, max: 130, noNaN: true }),
  }),
  fc.record({
    channel: fc.constantFrom('gauge-pressure' as const, 'absolute-pressure' as const),
    time: fc.integer({ min: start - 86_400, max: start + 40 * 86_400 }),
    value: fc.double({ min: 0, max: 2_000_000, noNaN: true }),
  }),
);

/** Paths of numbers that are not finite. */
const wild = (value: unknown, path: string): readonly string[] => {
  if (typeof value === 'number') return Number.isFinite(value) ? [] : [path];
  if (value === null || typeof value !== 'object') return [];
  return Object.entries(value).flatMap(([key, item]) => wild(item, `${path}.${key}`));
};

describe('any stream of points', () => {
  it('gives the same verdicts when the state is evicted and read back between any two calls', () => {
    fc.assert(
      fc.property(
        fc.array(fc.array(points, { maxLength: 6 }), { minLength: 1, maxLength: 40, size: 'max' }),
        (packs) => {
          let kept: WatchState = beginWatch(watched, start);
          let evicted: WatchState = beginWatch(watched, start);
          let now = start;
          for (const pack of packs) {
            now = Math.max(now + 60, ...pack.map(({ time }) => time));
            const one = judge(watched, kept, pack, now);
            const other = judge(watched, JSON.parse(JSON.stringify(evicted)), pack, now);
            expect(other).toEqual(one);
            kept = one.state;
            evicted = other.state;
          }
        },
      ),
      { numRuns: 60 },
    );
  });

  it('lets no number out that is not finite, and keeps the state small', () => {
    fc.assert(
      fc.property(
        fc.array(fc.array(points, { maxLength: 12 }), { minLength: 1, maxLength: 60, size: 'max' }),
        (packs) => {
          let state: WatchState = beginWatch(watched, start);
          let now = start;
          for (const pack of packs) {
            now = Math.max(now + 60, ...pack.map(({ time }) => time));
            const verdict = judge(watched, state, pack, now);
            state = verdict.state;
            expect(wild(verdict, 'verdict')).toEqual([]);
            expect(wild(statusOf(watched, state, now), 'status')).toEqual([]);
            expect(wild(curveOf(watched, state, [start, now, now + 86_400]), 'curve')).toEqual([]);
            const due = nextDue(watched, state, now);
            expect(due === null || due >= now).toBe(true);
          }
          expect(JSON.stringify(state).length).toBeLessThan(25_000);
        },
      ),
      { numRuns: 60 },
    );
  });

  it('never asks for a wake-up that a wake-up does not use up', () => {
    fc.assert(
      fc.property(
        fc.array(fc.array(points, { maxLength: 6 }), { minLength: 1, maxLength: 20, size: 'max' }),
        (packs) => {
          let state: WatchState = beginWatch(watched, start);
          let now = start;
          for (const pack of packs) {
            now = Math.max(now + 60, ...pack.map(({ time }) => time));
            state = judge(watched, state, pack, now).state;
          }
          for (let round = 0; round < 40; round += 1) {
            const due = nextDue(watched, state, now);
            if (due === null) return;
            now = Math.max(now, due);
            state = judge(watched, state, [], now).state;
          }
          expect(nextDue(watched, state, now)).toBeNull();
        },
      ),
      { numRuns: 100 },
    );
  });
});
