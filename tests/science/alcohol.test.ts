import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { alcoholByVolumeFromMass, alcoholMassFromVolume } from '../../src/science/alcohol.ts';
import { alcoholAfterAdditions } from '../../src/science/alcohol-after-additions.ts';
import {
  alcoholAt,
  attenuated,
  carbonDioxidePerAlcohol,
  extractPerAlcohol,
  originalExtractFrom,
  yeastPerAlcohol,
} from '../../src/science/balling.ts';
import { blend } from '../../src/science/blend.ts';
import { drinkGravity } from '../../src/science/drink-density.ts';
import {
  fermentationState,
  terminalGravityFromLimit,
} from '../../src/science/fermentation-state.ts';
import { extractFromGravity, gravityFromExtract } from '../../src/science/gravity.ts';
import { unmeasured } from './components.ts';
import { right } from './right.ts';

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });

describe('strength', () => {
  test('% vol there and back is the same number', () => {
    fc.assert(
      fc.property(between(0, 100), (strength) => {
        const back = right(alcoholByVolumeFromMass(right(alcoholMassFromVolume(strength))));
        expect(back).toBeCloseTo(strength, 8);
      }),
    );
  });

  test('rises throughout', () => {
    fc.assert(
      fc.property(between(0, 99), between(1e-3, 1), (percent, step) => {
        expect(right(alcoholByVolumeFromMass(percent + step))).toBeGreaterThan(
          right(alcoholByVolumeFromMass(percent)),
        );
      }),
    );
  });
});

describe('Balling', () => {
  test('the balance of masses closes: 1 + 0.9565 + 0.11 = 2.0665', () => {
    expect(1 + carbonDioxidePerAlcohol + yeastPerAlcohol).toBeCloseTo(extractPerAlcohol, 12);
  });

  test('original extract from what is found after is the original extract', () => {
    fc.assert(
      fc.property(between(2, 35), between(0, 1), (original, share) => {
        const real = original * share;
        expect(originalExtractFrom(alcoholAt(original, real), real)).toBeCloseTo(original, 9);
      }),
    );
  });

  test('14.3 °P pitched was calculated back as 14.4 (Nielsen et al., survey)', () => {
    const drink = right(attenuated({ originalExtractPlato: 14.3, apparentExtractPlato: 3 }));
    const back = originalExtractFrom(drink.alcoholMassPercent, drink.realExtractPlato);
    expect(Math.abs(back - 14.4)).toBeLessThan(0.15);
  });

  test('more attenuation, more alcohol', () => {
    fc.assert(
      fc.property(between(1.03, 1.09), between(0, 0.9), between(0.001, 0.1), (gravity, a, b) => {
        const at = (share: number) =>
          right(fermentationState(gravity, 1 + (gravity - 1) * (1 - share))).alcoholByVolumePercent;
        expect(at(a + b)).toBeGreaterThan(at(a));
      }),
    );
  });

  test('a rise of extract is a contradiction', () => {
    expect(fermentationState(1.04, 1.05)).toMatchObject({
      ok: false,
      fault: { kind: 'contradiction', field: 'apparentExtractPlato' },
    });
  });

  test('the limit gives the gravity whose attenuation it is', () => {
    fc.assert(
      fc.property(between(1.03, 1.1), between(0.3, 1), (gravity, limit) => {
        const terminal = right(terminalGravityFromLimit(gravity, limit));
        const original = right(extractFromGravity(gravity));
        const got = (original - right(extractFromGravity(terminal))) / original;
        expect(got).toBeCloseTo(limit, 8);
      }),
    );
  });
});

describe('alcohol after additions', () => {
  const wort = { wortVolumeLitre: 25, originalGravity: 1.06, presentGravity: 1.012 };

  test('with none it agrees with the attenuation quotient of MEBAK, 0.81, to 0.1 °P', () => {
    let compared = 0;
    for (const plato of [8, 10, 12, 14, 16]) {
      const apparent = 0.22 * plato;
      const got = right(
        alcoholAfterAdditions({
          wortVolumeLitre: 20,
          originalGravity: right(gravityFromExtract(plato)),
          presentGravity: right(gravityFromExtract(apparent)),
          additions: [],
        }),
      );
      expect(Math.abs(got.realExtractPlato - (plato - 0.81 * (plato - apparent)))).toBeLessThan(
        0.1,
      );
      compared += 1;
    }
    expect(compared).toBe(5);
  });

  test('the order of additions does not matter, nor their being split', () => {
    const sugar = { kind: 'sugar', gram: 900 } as const;
    const water = { kind: 'water', litre: 3 } as const;
    const half = { kind: 'sugar', gram: 450 } as const;
    const one = right(alcoholAfterAdditions({ ...wort, additions: [sugar, water] }));
    const other = right(alcoholAfterAdditions({ ...wort, additions: [half, water, half] }));
    expect(other.alcoholByVolumePercent).toBeCloseTo(one.alcoholByVolumePercent, 9);
  });

  test('extract consumed is 2.0665 times the alcohol made: the masses close', () => {
    fc.assert(
      fc.property(
        between(0, 2000),
        between(0, 5),
        between(1.005, 1.03),
        (gram, litre, presentGravity) => {
          const got = right(
            alcoholAfterAdditions({
              ...wort,
              presentGravity,
              additions: [
                { kind: 'sugar', gram },
                { kind: 'water', litre },
              ],
            }),
          );
          const alcohol = (got.alcoholMassPercent / 100) * got.massGram;
          const extract = (got.realExtractPlato / 100) * got.massGram;
          const mass = got.massGram + (extractPerAlcohol - 1) * alcohol;
          expect(((extract + extractPerAlcohol * alcohol) / mass) * 100).toBeCloseTo(
            got.equivalentOriginalExtractPlato,
            8,
          );
        },
      ),
    );
  });

  test('spirit brought into an unfermented must is found again, whatever its strength', () => {
    fc.assert(
      fc.property(between(20, 96), between(0.5, 8), (strength, litre) => {
        const must = {
          name: 'must',
          amount: { kind: 'volume', litre: 30, atCelsius: 20 },
          alcoholByVolumePercent: 0,
          extractGramPerLitre: 125.573,
          ...unmeasured,
        } as const;
        const spirit = {
          name: 'spirit',
          amount: { kind: 'volume', litre, atCelsius: 20 },
          alcoholByVolumePercent: strength,
          extractGramPerLitre: 0,
          ...unmeasured,
        } as const;
        const fortified = right(blend([must, spirit]));
        const got = right(
          alcoholAfterAdditions({
            wortVolumeLitre: 30,
            originalGravity: right(blend([must])).gravity,
            additions: [{ kind: 'spirit', litre, alcoholByVolumePercent: strength }],
            presentGravity: fortified.gravity,
          }),
        );
        // The ASBC cubic reads 12 °P as 12.004: that much sugar seems to have fermented, or not.
        expect(
          Math.abs(got.alcoholByVolumePercent - fortified.drink.alcoholByVolumePercent),
        ).toBeLessThan(0.01);
        expect(Math.abs(got.volumeLitre / fortified.volumeLitre - 1)).toBeLessThan(2e-4);
        expect(got.shareAddedAsSpirit).toBeGreaterThan(0.99);
      }),
    );
  });

  test('a present gravity that no fermentation can give is a contradiction', () => {
    expect(alcoholAfterAdditions({ ...wort, presentGravity: 1.08, additions: [] })).toMatchObject({
      ok: false,
      fault: { kind: 'contradiction' },
    });
  });

  test('the model gravity of what was found is the gravity that was given', () => {
    fc.assert(
      fc.property(between(1.03, 1.11), between(0.2, 0.85), (originalGravity, share) => {
        const presentGravity = 1 + (originalGravity - 1) * (1 - share);
        const got = right(
          alcoholAfterAdditions({
            wortVolumeLitre: 10,
            originalGravity,
            presentGravity,
            additions: [],
          }),
        );
        expect(
          right(
            drinkGravity({
              alcoholByVolumePercent: got.alcoholByVolumePercent,
              extractGramPerLitre: got.extractGramPerLitre,
            }),
          ),
        ).toBeCloseTo(presentGravity, 8);
      }),
    );
  });
});
