/** The course of gravity against made courses whose truth is known: a moved sensor, foam, outliers, frozen spans. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { dice } from '../../src/host/simulated/dice.ts';
import type { ChronicleRow } from '../../src/monitoring/course/chronicle.ts';
import {
  type GravityCourse,
  gravityCourse,
} from '../../src/monitoring/fermentation/gravity-course.ts';

const start = 1_770_000_000;
const hourSeconds = 3600;

/** A logistic course from 50 points to 12, hourly, with noise of 0.2 points. */
const rows = (seed: number, hours: number, disturb: (hour: number) => number): ChronicleRow[] => {
  const roll = dice(seed);
  return Array.from({ length: hours }, (_, hour) => {
    const points = 12 + 38 / (1 + Math.exp((hour - 60) / 14));
    const read = points + roll.normal(0, 0.2) + disturb(hour);
    return [start + hour * hourSeconds, 1800, 1 + read / 1000, null, null, null];
  });
};

/** As the watch does it: rows come one by one, and shifts once found are kept. */
const followed = (all: readonly ChronicleRow[]): GravityCourse => {
  let course = gravityCourse(all.slice(0, 4), start, [], []);
  for (let count = 5; count <= all.length; count += 1) {
    course = gravityCourse(all.slice(0, count), start, course.shifts, []);
  }
  return course;
};

describe('gravity course', () => {
  it('finds no moved sensor in a clean course', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1_000_000 }), (seed) => {
        const course = gravityCourse(
          rows(seed, 160, () => 0),
          start,
          [],
          [],
        );
        expect(course.shifts).toEqual([]);
        expect(course.hours.length).toBeGreaterThan(150);
      }),
      { numRuns: 60 },
    );
  });

  it('takes a noisy float for a moved one in at most 3 of 100 cases', () => {
    let blamed = 0;
    for (let seed = 1; seed <= 100; seed += 1) {
      const roll = dice(seed * 104_729);
      const sd = roll.uniform(0.5, 2);
      const course = followed(rows(seed, 200, () => roll.normal(0, sd)));
      if (course.shifts.length > 0) blamed += 1;
    }
    expect(blamed).toBeLessThanOrEqual(3);
  });

  it('heals a sensor that was moved, in at least 95 of 100 cases: the course goes on as it would have', () => {
    let healed = 0;
    for (let seed = 1; seed <= 100; seed += 1) {
      const roll = dice(seed * 7919);
      const at = Math.round(roll.uniform(30, 120));
      const size = roll.uniform(4, 12);
      const moved = followed(rows(seed, 170, (hour) => (hour >= at ? size : 0)));
      const still = gravityCourse(
        rows(seed, 170, () => 0),
        start,
        [],
        [],
      );
      const apart = Math.abs((moved.points.at(-1) ?? 0) - (still.points.at(-1) ?? 0));
      if (!moved.unsettled && apart < 2.2) healed += 1;
    }
    expect(healed).toBeGreaterThanOrEqual(95);
  });

  it('sets foam aside that comes and goes, and takes no shift from it', () => {
    const foam = (hour: number): number => (hour >= 30 && hour < 39 ? 8 : 0);
    const course = gravityCourse(rows(7, 120, foam), start, [], []);
    expect(course.shifts).toEqual([]);
    for (const [index, hour] of course.hours.entries()) {
      const truth = 12 + 38 / (1 + Math.exp((hour - 0.25 - 60) / 14));
      expect(Math.abs((course.points[index] ?? 0) - truth)).toBeLessThan(1.5);
    }
    expect(course.hours.length).toBeGreaterThan(105);
  });

  it('holds back while the newest readings leap', () => {
    const leaping = rows(3, 100, (hour) => (hour >= 97 ? 9 : 0));
    expect(gravityCourse(leaping, start, [], []).unsettled).toBe(true);
  });

  it('leaves out what a frozen sensor said', () => {
    const frozen = [start + 40 * hourSeconds, start + 60 * hourSeconds] as const;
    const course = gravityCourse(
      rows(5, 100, () => 0),
      start,
      [],
      [frozen],
    );
    expect(course.hours.some((hour) => hour > 40.3 && hour < 59.9)).toBe(false);
  });
});
