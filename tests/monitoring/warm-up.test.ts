/** Newton's law of heating: exact courses give their end back, and an early guess is honest about its width. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { dice } from '../../src/host/simulated/dice.ts';
import { warmUp } from '../../src/monitoring/pressure/warm-up.ts';

const course = (begin: number, end: number, tau: number, hours: number) => {
  const times = Array.from({ length: hours * 2 + 1 }, (_, index) => index / 2);
  return { times, values: times.map((hour) => end + (begin - end) * Math.exp(-hour / tau)) };
};

const endBand = (
  ways: ReturnType<typeof warmUp>,
): { middle: number; low: number; high: number } => {
  const sorted = (ways?.ways ?? [])
    .flatMap(({ weight, end, endSd }) =>
      [-1.4, -0.53, 0, 0.53, 1.4].map((step) => ({
        value: end + step * endSd,
        weight: weight / 5,
      })),
    )
    .sort((a, b) => a.value - b.value);
  const at = (share: number): number => {
    let sum = 0;
    for (const { value, weight } of sorted) {
      sum += weight;
      if (sum >= share) return value;
    }
    return sorted.at(-1)?.value ?? Number.NaN;
  };
  return { middle: at(0.5), low: at(0.05), high: at(0.95) };
};

describe('warm-up', () => {
  it('finds the end of a course that has run for twice its time constant', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 8, noNaN: true }),
        fc.double({ min: 14, max: 30, noNaN: true }),
        fc.constantFrom(6, 8, 11, 15),
        (begin, end, tau) => {
          const { times, values } = course(begin, end, tau, 2 * tau);
          expect(Math.abs(endBand(warmUp(times, values)).middle - end)).toBeLessThan(0.6);
        },
      ),
    );
  });

  it('covers the end with its 90 % band in at least 75 of 100 early and noisy courses', () => {
    // Time constants between those tried, noise of an ordinary probe, half a time constant of readings.
    let covered = 0;
    for (let seed = 1; seed <= 200; seed += 1) {
      const roll = dice(seed);
      const end = roll.normal(20, 5);
      const { times, values } = course(roll.uniform(2, 6), end, roll.uniform(6, 20), 6);
      const band = endBand(
        warmUp(
          times,
          values.map((value) => value + roll.normal(0, 0.15)),
        ),
      );
      if (end >= band.low - 0.3 && end <= band.high + 0.3) covered += 1;
    }
    expect(covered).toBeGreaterThanOrEqual(150);
  });

  it('says nothing from fewer than three readings', () => {
    expect(warmUp([0, 1], [4, 5])).toBeNull();
  });
});
