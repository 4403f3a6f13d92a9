/** Factors after NIST Special Publication 811 (2008), appendix B. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  convert,
  convertGravity,
  gravityUnits,
  isUnitOf,
  type Quantity,
  unitsOf,
} from '../../src/science/units/convert.ts';
import {
  absoluteFromGauge,
  ambientPressureAtHeight,
  gaugeFromAbsolute,
} from '../../src/science/units/gauge.ts';
import { right } from './right.ts';

const quantities: readonly Quantity[] = [
  'temperature',
  'pressure',
  'volume',
  'mass',
  'carbonation',
  'gas-flow',
  'concentration',
  'density',
];

describe('trade units', () => {
  test.each([
    ['temperature', 68, '°F', '°C', 20],
    ['temperature', -40, '°F', '°C', -40],
    ['temperature', 293.15, 'K', '°C', 20],
    ['pressure', 1, 'bar', 'psi', 14.503773773],
    ['pressure', 14.695948775, 'psi', 'Pa', 101_325],
    ['pressure', 760, 'mmHg', 'Pa', 101_325.0144],
    ['volume', 1, 'US bbl', 'L', 117.347765304],
    ['volume', 1, 'imp bbl', 'L', 163.65924],
    ['volume', 1, 'US gal', 'L', 3.785411784],
    ['mass', 1, 'lb', 'g', 453.59237],
    ['carbonation', 2.5, 'volumes', 'g/L', 4.942025],
    ['gas-flow', 3600, 'L/h', 'm3/s', 0.001],
    ['concentration', 1, 'kg/hL', 'g/L', 10],
    ['density', 1.0464, 'g/mL', 'kg/m3', 1046.4],
  ] as const)('%s: %d %s is so many %s', (quantity, given, from, to, expected) => {
    expect(isUnitOf(quantity, from) && isUnitOf(quantity, to)).toBe(true);
    if (!isUnitOf(quantity, from) || !isUnitOf(quantity, to)) return;
    const got = right(convert(quantity, given, from, to));
    expect(Math.abs(got - expected)).toBeLessThan(1e-8 * (1 + Math.abs(expected)));
  });

  test('there and back is the same number, for every pair of units', () => {
    let pairs = 0;
    for (const quantity of quantities) {
      for (const from of unitsOf(quantity)) {
        for (const to of unitsOf(quantity)) {
          pairs += 1;
          fc.assert(
            fc.property(fc.double({ min: 300, max: 5000, noNaN: true }), (number) => {
              const there = right(convert(quantity, number, from, to));
              const back = right(convert(quantity, there, to, from));
              expect(Math.abs(back / number - 1)).toBeLessThan(1e-9);
            }),
            { numRuns: 5 },
          );
        }
      }
    }
    expect(pairs).toBe(9 + 81 + 64 + 25 + 4 + 16 + 25 + 9);
  });

  test('gravity in any way of stating it goes to every other and back', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1.0005, max: 1.16, noNaN: true }),
        fc.constantFrom(...gravityUnits),
        fc.constantFrom(...gravityUnits),
        (gravity, one, other) => {
          const start = right(convertGravity(gravity, 'SG', one));
          const there = right(convertGravity(start, one, other));
          expect(right(convertGravity(there, other, 'SG'))).toBeCloseTo(gravity, 9);
        },
      ),
    );
  });

  test('nothing is colder than absolute zero', () => {
    expect(convert('temperature', -1, 'K', '°C')).toMatchObject({
      ok: false,
      fault: { kind: 'outside-range' },
    });
  });
});

describe('gauge and absolute', () => {
  test('differ by the air around, and come back', () => {
    const absolute = right(absoluteFromGauge(120_000, 95_000));
    expect(absolute).toBe(215_000);
    expect(right(gaugeFromAbsolute(absolute, 95_000))).toBe(120_000);
  });

  test.each([
    // ISO 2533 standard atmosphere.
    [0, 101_325],
    [1000, 89_874.6],
    [2000, 79_495.2],
  ])('at %d m the standard air stands at %d Pa', (height, pascal) => {
    expect(Math.abs(right(ambientPressureAtHeight(height)) / pascal - 1)).toBeLessThan(1e-4);
  });
});
