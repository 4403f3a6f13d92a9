/** The budget of a key: what passes over any time is bounded, and who waits as told gets through. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  type Buckets,
  budgetFrom,
  type ReadingBudget,
  spend,
  usualBudget,
} from '../../src/storage/reading-budget.ts';

const budget: ReadingBudget = { readingsPerMinute: 60, burst: 100 };

const packs = fc.array(
  fc.record({
    key: fc.constantFrom('one', 'two'),
    wait: fc.double({ min: 0, max: 40, noNaN: true }),
    readings: fc.integer({ min: 1, max: 150 }),
  }),
  { minLength: 1, maxLength: 60 },
);

test('over any span no key gets more through than a burst and the rate', () => {
  let [passed, refused] = [0, 0];
  fc.assert(
    fc.property(packs, (sent) => {
      const buckets: Buckets = new Map();
      let now = 1000;
      const through = new Map<string, { at: number; readings: number }[]>();
      for (const { key, wait, readings } of sent) {
        now += wait;
        const told = spend(buckets, key, readings, now, budget);
        if (told === null) {
          passed += 1;
          // A pack longer than a burst counts as one.
          const own = { at: now, readings: Math.min(readings, budget.burst) };
          through.set(key, [...(through.get(key) ?? []), own]);
        } else refused += 1;
      }
      for (const own of through.values())
        for (const [index, first] of own.entries()) {
          let sum = 0;
          for (const { at, readings } of own.slice(index)) {
            sum += readings;
            expect(sum).toBeLessThanOrEqual(budget.burst + (at - first.at) * 1 + 1e-3);
          }
        }
    }),
  );
  expect(passed).toBeGreaterThan(100);
  expect(refused).toBeGreaterThan(50);
});

test('whoever waits as long as told gets the same pack through, and not much sooner', () => {
  let refused = 0;
  fc.assert(
    fc.property(packs, (sent) => {
      const buckets: Buckets = new Map();
      let now = 1000;
      for (const { key, wait, readings } of sent) {
        now += wait;
        const told = spend(buckets, key, readings, now, budget);
        if (told === null) continue;
        refused += 1;
        expect(Number.isInteger(told)).toBe(true);
        expect(told).toBeGreaterThan(0);
        const early = new Map(buckets);
        expect(spend(early, key, readings, now + told - 1.001, budget)).not.toBeNull();
        const late = new Map(buckets);
        expect(spend(late, key, readings, now + told, budget)).toBeNull();
      }
    }),
  );
  expect(refused).toBeGreaterThan(50);
});

test('a key pays for itself alone, and a clock that goes back gives nothing', () => {
  const buckets: Buckets = new Map();
  expect(spend(buckets, 'one', 100, 1000, budget)).toBeNull();
  expect(spend(buckets, 'one', 1, 1000, budget)).toBe(1);
  expect(spend(buckets, 'two', 100, 1000, budget)).toBeNull();
  expect(spend(buckets, 'one', 10, 0, budget)).toBe(10);
});

test('the memory of keys is bounded by those that have just sent', () => {
  const buckets: Buckets = new Map();
  for (let key = 0; key < 5000; key += 1) spend(buckets, `key-${key}`, 1, 1000 + key, budget);
  expect(buckets.size).toBeLessThanOrEqual(1001);
});

test('the usual budget lets a gateway send a backlog of two full packs', () => {
  const buckets: Buckets = new Map();
  expect(spend(buckets, 'gateway', 10_000, 1000, usualBudget)).toBeNull();
  expect(spend(buckets, 'gateway', 10_000, 1000, usualBudget)).toBeNull();
  expect(spend(buckets, 'gateway', 600, 1000, usualBudget)).toBe(60);
});

test.each([
  [undefined, usualBudget],
  ['', usualBudget],
  ['many', usualBudget],
  ['-5', usualBudget],
  ['0', usualBudget],
  ['1200', { readingsPerMinute: 1200, burst: 20_000 }],
  ['6000000', { readingsPerMinute: 6_000_000, burst: 6_000_000 }],
] as const)('the operator may set the rate: "%s"', (text, expected) => {
  expect(budgetFrom(text)).toEqual(expected);
});
