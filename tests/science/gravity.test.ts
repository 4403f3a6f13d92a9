import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { brixFromGravity, gravityFromBrix } from '../../src/science/brix.ts';
import { drinkGravity } from '../../src/science/drink-density.ts';
import { extractFromGravity, gravityFromExtract } from '../../src/science/gravity.ts';
import { gravityFromDensity, gravityFromHydrometer } from '../../src/science/hydrometer.ts';
import {
  brixAt20,
  extractFromRefractometer,
  refractiveIndex,
} from '../../src/science/refractometer.ts';
import { sucroseDensity, sucroseDensityInAir } from '../../src/science/sucrose-density.ts';
import { published } from './published.ts';
import { right } from './right.ts';

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });

describe('gravity and extract', () => {
  test('there and back is the same number', () => {
    fc.assert(
      fc.property(between(0.961, 1.169), (gravity) => {
        expect(right(gravityFromExtract(right(extractFromGravity(gravity))))).toBeCloseTo(
          gravity,
          12,
        );
      }),
    );
  });

  test('rises throughout', () => {
    fc.assert(
      fc.property(between(0.961, 1.168), between(1e-6, 1e-3), (gravity, step) => {
        expect(right(extractFromGravity(gravity + step))).toBeGreaterThan(
          right(extractFromGravity(gravity)),
        );
      }),
    );
  });

  // ASBC cubic evaluated by hand in the check values: P(1.040032), P(1.048386), P(1.083023).
  test.each([
    [1.040032, 10.0012],
    [1.048386, 12.004],
    [1.083023, 20.011],
  ])('SG %d is %d °P', (gravity, plato) => {
    expect(Math.abs(right(extractFromGravity(gravity)) - plato)).toBeLessThan(6e-4);
  });

  test('the ASBC and NBS fits tell the same story to 0.03 up to 30', () => {
    fc.assert(
      fc.property(between(1, 1.129), (gravity) => {
        const plato = right(extractFromGravity(gravity));
        expect(Math.abs(plato - right(brixFromGravity(gravity)))).toBeLessThan(0.03);
      }),
    );
  });

  test('Brix there and back is the same number', () => {
    fc.assert(
      fc.property(between(0, 39.9), (brix) => {
        expect(right(brixFromGravity(right(gravityFromBrix(brix))))).toBeCloseTo(brix, 10);
      }),
    );
  });

  test('the short inverse in wide use stays within 1e-4 of the exact one up to 30 °P', () => {
    fc.assert(
      fc.property(between(0, 30), (plato) => {
        const short = 1 + plato / (258.6 - (227.1 * plato) / 258.2);
        expect(Math.abs(right(gravityFromExtract(plato)) - short)).toBeLessThan(1e-4);
      }),
    );
  });

  test('the apparent density lies below that in vacuo by the air displaced', () => {
    const apart = right(sucroseDensity(12, 20)) - right(sucroseDensityInAir(12, 20));
    expect(apart).toBeCloseTo(1.2, 9);
  });

  test.each([
    // The polynomial worked apart: rho(5 %) 1017.805, rho(10 %) 1038.115, rho(30 %) 1127.032 kg/m3.
    [0, 998.203],
    [5, 1017.805],
    [10, 1038.115],
    [12, 1046.444],
    [15, 1059.162],
    [20, 1080.977],
    [30, 1127.032],
  ])('sucrose of %d mass per cent weighs %d kg/m3 at 20 °C', (percent, density) => {
    expect(Math.abs(right(sucroseDensity(percent, 20)) - density)).toBeLessThan(1e-3);
  });

  test('out of range answers with the bounds', () => {
    expect(extractFromGravity(1.3)).toEqual({
      ok: false,
      fault: {
        kind: 'outside-range',
        field: 'gravity',
        value: 1.3,
        low: 0.96,
        high: 1.17,
        unit: 'SG 20/20',
      },
    });
    expect(extractFromGravity(Number.NaN)).toEqual({
      ok: false,
      fault: { kind: 'not-a-number', field: 'gravity' },
    });
  });
});

describe('hydrometer off its temperature', () => {
  const corrected = (readingGravity: number, sampleTemperatureCelsius: number, alcohol = 0) =>
    right(
      gravityFromHydrometer({
        readingGravity,
        sampleTemperatureCelsius,
        calibrationTemperatureCelsius: 20,
        alcoholByVolumePercent: alcohol,
      }),
    );

  test('at its own temperature it reads true', () => {
    fc.assert(
      fc.property(between(0.97, 1.15), between(0, 20), (gravity, alcohol) => {
        expect(corrected(gravity, 20, alcohol)).toBeCloseTo(gravity, 8);
      }),
    );
  });

  test('a cold sample reads high, a warm one low (UC Davis, laboratory notes)', () => {
    expect(corrected(1.04, 10)).toBeLessThan(1.04);
    expect(corrected(1.04, 30)).toBeGreaterThan(1.04);
  });

  // Near 4 °C water hardly changes and the glass shrinks faster than it: the test begins at 8 °C.
  test('the correction grows with temperature throughout', () => {
    fc.assert(
      fc.property(between(8, 38), between(0.1, 2), between(1, 1.12), (celsius, step, gravity) => {
        expect(corrected(gravity, celsius + step)).toBeGreaterThan(corrected(gravity, celsius));
      }),
    );
  });

  test('a density measured warm gives the gravity of the same sugar at 20 °C', () => {
    fc.assert(
      fc.property(between(0.5, 30), between(0, 40), (plato, celsius) => {
        const density = right(sucroseDensity(plato, celsius));
        const gravity = right(gravityFromDensity(density, celsius, 0));
        const atTwenty = right(gravityFromDensity(right(sucroseDensity(plato, 20)), 20, 0));
        // Measured: at most 4.7e-6, from reading the apparent extract off the ASBC cubic.
        expect(Math.abs(gravity - atTwenty)).toBeLessThan(5e-6);
      }),
    );
  });

  test('a dry strong drink is corrected too, though its gravity is below water', () => {
    const dry = right(drinkGravity({ alcoholByVolumePercent: 14, extractGramPerLitre: 22 }));
    expect(dry).toBeLessThan(1);
    expect(corrected(dry, 10, 14)).toBeLessThan(dry);
  });
});

describe('refractometer', () => {
  test('without fermentation it reads the original extract', () => {
    fc.assert(
      fc.property(between(2, 30), (original) => {
        const got = right(
          extractFromRefractometer({
            readingBrix: original,
            originalExtractPlato: original,
            wortFactor: 1,
          }),
        );
        expect(got.realExtractPlato).toBeCloseTo(original, 6);
        expect(got.alcoholMassPercent).toBeCloseTo(0, 6);
      }),
    );
  });

  test('what it makes of a drink gives back the reading', () => {
    fc.assert(
      fc.property(between(6, 28), between(0.35, 0.99), (original, share) => {
        const readingBrix = original * share;
        const got = extractFromRefractometer({
          readingBrix,
          originalExtractPlato: original,
          wortFactor: 1,
        });
        fc.pre(got.ok);
        if (!got.ok) return;
        const drink = right(
          refractiveIndex(got.value.realExtractPlato, got.value.alcoholMassPercent),
        );
        expect(drink).toBeCloseTo(right(refractiveIndex(readingBrix, 0)), 9);
      }),
    );
  });

  test('alcohol hides extract: the real extract lies below the reading', () => {
    const got = right(
      extractFromRefractometer({ readingBrix: 6.2, originalExtractPlato: 12, wortFactor: 1 }),
    );
    expect(got.realExtractPlato).toBeLessThan(6.2);
  });

  test('a reading that cannot be is a contradiction', () => {
    const impossible = extractFromRefractometer({
      readingBrix: 14,
      originalExtractPlato: 12,
      wortFactor: 1,
    });
    expect(impossible).toMatchObject({ ok: false, fault: { kind: 'contradiction' } });
  });

  test('the temperature table is the published one, and it is not stretched above 20 °C', () => {
    const rows = published('oiv_refractometer_temperature_correction_seen.csv');
    let compared = 0;
    for (const row of rows) {
      for (const reading of [10, 15, 20, 25, 30]) {
        const corrected = right(brixAt20(reading, row.read('T_C')));
        expect(corrected - reading).toBeCloseTo(row.read(String(reading)), 9);
        compared += 1;
      }
    }
    expect(compared).toBe(65);
    expect(brixAt20(12, 25)).toMatchObject({ ok: false, fault: { kind: 'outside-range' } });
  });
});
