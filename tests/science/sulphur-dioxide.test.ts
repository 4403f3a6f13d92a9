import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  freeForMolecular,
  greatestMolecularFraction,
  molecularFraction,
  molecularSulphurDioxide,
} from '../../src/science/sulphur-dioxide.ts';
import { published } from './published.ts';
import { right } from './right.ts';

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });

describe('molecular sulphur dioxide', () => {
  test('half of it is molecular where pH is the constant, and a tenth of the rest each pH up', () => {
    const odds = (pH: number): number => {
      const fraction = right(molecularFraction(pH));
      return fraction / (1 - fraction);
    };
    expect(odds(2.81)).toBeCloseTo(0.1, 9);
    expect(odds(3.81)).toBeCloseTo(0.01, 9);
  });

  test('free for a target gives the target', () => {
    fc.assert(
      fc.property(between(0.1, 1.5), between(2.8, 4.2), (target, pH) => {
        const free = right(freeForMolecular(target, pH));
        fc.pre(free <= 400);
        expect(right(molecularSulphurDioxide(free, pH))).toBeCloseTo(target, 9);
      }),
    );
  });

  test('the OIV constants are met in every cell of table I', () => {
    let compared = 0;
    for (const row of published('oiv_so2_thermodynamic_constant_seen.csv')) {
      for (const celsius of [20, 25, 30, 35, 40]) {
        const fraction = right(
          greatestMolecularFraction(3.4, row.read('alcohol_pct_vol'), celsius),
        );
        const constant = 3.4 - Math.log10(1 / fraction - 1);
        expect(constant).toBeCloseTo(row.read(`${celsius}C`), 9);
        compared += 1;
      }
    }
    expect(compared).toBe(20);
  });

  test('with alcohol and warmth more of it is molecular than the careful constant says', () => {
    fc.assert(
      fc.property(between(2.8, 4.2), between(1, 15), between(20, 40), (pH, alcohol, celsius) => {
        expect(right(greatestMolecularFraction(pH, alcohol, celsius))).toBeGreaterThan(
          right(molecularFraction(pH)),
        );
      }),
    );
  });
});
