import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { heatWatt, riseWithoutCooling, timeToLimitWithoutCooling } from '../../src/science/heat.ts';
import { right } from './right.ts';

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });

describe('heat of fermentation', () => {
  test('12 °P fermented out warms by 11 to 13 K: 80 g per kg at 560 to 650 kJ/kg over 4.05 kJ/(kg K)', () => {
    const rise = right(
      riseWithoutCooling({
        originalExtractPlato: 12,
        presentExtractPlato: 12,
        terminalExtractPlato: 2.5,
      }),
    );
    // Extract consumed per kg of wort: 2.0665 x 40.146 g per kg of beer x beer per wort 0.95894.
    const consumed = (2.0665 * 0.0401461) / (1 + 1.0665 * 0.0401461);
    expect(rise.low).toBeCloseTo((consumed * 560) / 4.05, 4);
    expect(rise.high).toBeCloseTo((consumed * 650) / 4.05, 4);
  });

  test('the watts of an hour add up to the rise of an hour', () => {
    fc.assert(
      fc.property(
        between(8, 20),
        between(0.3, 0.95),
        between(0.02, 0.4),
        (original, share, fall) => {
          const present = original * share;
          const watt = right(
            heatWatt({
              originalExtractPlato: original,
              presentExtractPlato: present,
              extractFallPlatoPerHour: fall,
              volumeLitre: 100,
            }),
          );
          const rise = right(
            riseWithoutCooling({
              originalExtractPlato: original,
              presentExtractPlato: present,
              terminalExtractPlato: present - fall,
            }),
          );
          // Joules over the wort's heat capacity; its mass is that of the wort, 1.0 to 1.09 kg/L.
          const kelvin = (watt.low * 3600) / (4050 * 100 * (1 + original * 0.0041));
          expect(Math.abs(kelvin / rise.low - 1)).toBeLessThan(0.02);
        },
      ),
    );
  });

  test('a higher limit, or a slower fermentation, gives more time', () => {
    const input = {
      originalExtractPlato: 12,
      presentExtractPlato: 9,
      terminalExtractPlato: 2.5,
      extractFallPlatoPerHour: 0.15,
      temperatureCelsius: 19,
      limitCelsius: 22,
    };
    const earliest = (changes: Partial<typeof input>): number => {
      const got = right(timeToLimitWithoutCooling({ ...input, ...changes }));
      return got.kind === 'reaches-limit' ? got.earliestSeconds : Number.POSITIVE_INFINITY;
    };
    expect(earliest({ limitCelsius: 24 })).toBeGreaterThan(earliest({}));
    expect(earliest({ extractFallPlatoPerHour: 0.1 })).toBeGreaterThan(earliest({}));
    expect(earliest({ temperatureCelsius: 22 })).toBe(0);
    expect(earliest({ limitCelsius: 40 })).toBe(Number.POSITIVE_INFINITY);
  });

  test('the band is a band, and at constant rate the early end beats plain division', () => {
    fc.assert(
      fc.property(between(1, 6), between(0.05, 0.4), (margin, fall) => {
        const input = {
          originalExtractPlato: 14,
          presentExtractPlato: 12,
          terminalExtractPlato: 3,
          temperatureCelsius: 18,
        };
        const got = right(
          timeToLimitWithoutCooling({
            ...input,
            extractFallPlatoPerHour: fall,
            limitCelsius: 18 + margin,
          }),
        );
        expect(got.kind).toBe('reaches-limit');
        if (got.kind !== 'reaches-limit') return;
        const whole = right(riseWithoutCooling(input));
        const plain = (margin / ((whole.high * fall) / 9)) * 3600;
        expect(got.earliestSeconds).toBeLessThan(plain);
        expect(got.latestSeconds ?? Number.POSITIVE_INFINITY).toBeGreaterThan(plain);
      }),
    );
  });
});
