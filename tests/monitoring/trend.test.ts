/** The robust line: exact on a line, unmoved by a quarter of wild values, honest about its error. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { dice } from '../../src/host/simulated/dice.ts';
import { trend } from '../../src/monitoring/course/trend.ts';

describe('trend', () => {
  it('returns slope and level of an exact line', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -5, max: 5, noNaN: true }),
        fc.double({ min: -100, max: 100, noNaN: true }),
        fc.integer({ min: 4, max: 80 }),
        (slope, level, count) => {
          const hours = Array.from({ length: count }, (_, index) => index / 2);
          const last = hours.at(-1) ?? 0;
          const found = trend(
            hours,
            hours.map((hour) => level + slope * (hour - last)),
            0.01,
          );
          expect(found?.slope).toBeCloseTo(slope, 8);
          expect(found?.level).toBeCloseTo(level, 7);
        },
      ),
    );
  });

  it('is not moved by wild values that make up a tenth', () => {
    const hours = Array.from({ length: 40 }, (_, index) => index);
    const roll = dice(11);
    const values = hours.map((hour) => 20 - 0.3 * hour + roll.normal(0, 0.1));
    const wild = values.map((value, index) => (index % 10 === 3 ? value + 25 : value));
    const clean = trend(hours, values, 0.05);
    const dirty = trend(hours, wild, 0.05);
    expect(Math.abs((clean?.slope ?? 1) - (dirty?.slope ?? 2))).toBeLessThan(0.01);
  });

  it('covers the true slope with twice its stated error in at least 95 of 100 cases', () => {
    let covered = 0;
    for (let seed = 1; seed <= 400; seed += 1) {
      const roll = dice(seed);
      const hours = Array.from({ length: 30 }, (_, index) => index);
      const found = trend(
        hours,
        hours.map((hour) => 0.2 * hour + roll.normal(0, 1)),
        0.1,
      );
      if (found !== null && Math.abs(found.slope - 0.2) <= 2 * found.slopeError) covered += 1;
    }
    expect(covered).toBeGreaterThanOrEqual(380);
  });
});
