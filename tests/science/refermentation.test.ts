import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type RefermentationInput, refermentation } from '../../src/science/refermentation.ts';
import { right } from './right.ts';

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });

const keg: RefermentationInput = {
  vessel: {
    drink: { alcoholByVolumePercent: 6.4, extractGramPerLitre: 47 },
    vesselVolumeLitre: 50,
    headspaceLitre: 2.5,
    filledAtCelsius: 4,
    ambientPressurePascal: 101_325,
  },
  ratedGaugePressurePascal: 300_000,
  carbonDioxideGramPerLitre: 4.5,
  fermentableGramPerLitre: 18,
  warmestCelsius: 25,
  yeast: 'present',
};

describe('refermentation', () => {
  test('a sweet blend with live yeast is judged too much, in words and numbers', () => {
    const got = right(refermentation(keg));
    expect(got.verdict).toBe('too-much-if-it-referments');
    expect(got.words).toContain('18.0 g/L');
    expect(got.words).toContain('rating of 3.00 bar');
    expect(got.remedies.join(' ')).toMatch(
      /attenuate further.*Filter it sterile.*sorbic acid, at most 200 mg\/L/,
    );
    expect(got.caution).toContain('nameplate');
  });

  test('likely lies between quiet and greatest', () => {
    fc.assert(
      fc.property(between(0, 12), between(1, 5), between(4, 30), (ferment, gas, warm) => {
        const got = right(
          refermentation({
            ...keg,
            fermentableGramPerLitre: ferment,
            carbonDioxideGramPerLitre: gas,
            warmestCelsius: warm,
          }),
        );
        const [quiet, likely, greatest] = [
          got.withoutRefermentationPascal,
          got.likelyPascal,
          got.greatestPascal,
        ];
        expect(quiet).not.toBeNull();
        expect(likely ?? Number.POSITIVE_INFINITY).toBeGreaterThanOrEqual(quiet ?? 0);
        expect(greatest ?? Number.POSITIVE_INFINITY).toBeGreaterThanOrEqual(likely ?? 0);
      }),
      { numRuns: 40 },
    );
  });

  test('the tolerable extract is the edge of the verdict', () => {
    const { tolerableFermentableGramPerLitre: tolerable } = right(refermentation(keg));
    expect(tolerable).not.toBeNull();
    const at = (fermentableGramPerLitre: number) =>
      right(refermentation({ ...keg, fermentableGramPerLitre })).verdict;
    expect(at((tolerable ?? 0) - 0.01)).toBe('within-rating');
    expect(at((tolerable ?? 0) + 0.01)).toBe('too-much-if-it-referments');
  });

  test('the cold chain has an edge too', () => {
    const dry = { ...keg, fermentableGramPerLitre: 5 };
    const { staysWithinBelowCelsius: edge } = right(refermentation(dry));
    expect(edge).not.toBeNull();
    const at = (warmestCelsius: number) =>
      right(refermentation({ ...dry, warmestCelsius })).verdict;
    expect(at((edge ?? 0) - 0.1)).toBe('within-rating');
    expect(at((edge ?? 0) + 0.1)).toBe('too-much-if-it-referments');
  });

  test('removed yeast changes the words, not the pressures', () => {
    const live = right(refermentation(keg));
    const clean = right(refermentation({ ...keg, yeast: 'removed' }));
    expect(clean.greatestPascal).toBe(live.greatestPascal);
    expect(clean.words).toContain('If any yeast got in');
  });

  test('a filling that is too much by itself is said so', () => {
    const got = right(
      refermentation({ ...keg, carbonDioxideGramPerLitre: 7, fermentableGramPerLitre: 1 }),
    );
    expect(got.verdict).toBe('too-much-when-warm');
    expect(got.tolerableFermentableGramPerLitre).toBeNull();
    expect(got.remedies[0]).toContain('less carbon dioxide');
  });

  test('a pressure nearer the rating than the calculation is good for is not let pass', () => {
    const near = right(refermentation({ ...keg, fermentableGramPerLitre: 0 }));
    const quiet = near.withoutRefermentationPascal ?? 0;
    const judged = right(
      refermentation({
        ...keg,
        fermentableGramPerLitre: 0,
        ratedGaugePressurePascal: quiet * 1.02,
      }),
    );
    expect(judged.verdict).toBe('too-much-when-warm');
    expect(judged.words).toContain('too close to its rating');
  });

  test('without a nameplate nothing is judged', () => {
    const got = right(refermentation({ ...keg, ratedGaugePressurePascal: null }));
    expect(got.verdict).toBe('no-rating');
    expect(got.shareOfRating).toBeNull();
    expect(got.remedies[0]).toContain('nameplate');
  });

  test('a vessel that would fill to the brim is its own verdict', () => {
    const got = right(
      refermentation({
        ...keg,
        vessel: { ...keg.vessel, headspaceLitre: 0.5, filledAtCelsius: 0 },
        fermentableGramPerLitre: 1,
        warmestCelsius: 45,
      }),
    );
    expect(got.verdict).toBe('liquid-full');
    expect(got.withoutRefermentationPascal).toBeNull();
  });

  // Trade rule "24 g/L give 6 bar" holds near 10 °C; at 20 °C it is 8 (Regulation 2676/90 worked back).
  test('24 g/L at 20 °C is nearer 8 bar than 6: no rule of thumb', () => {
    const got = right(
      refermentation({
        vessel: {
          drink: { alcoholByVolumePercent: 12, extractGramPerLitre: 28 },
          vesselVolumeLitre: 0.77,
          headspaceLitre: 0.015,
          filledAtCelsius: 12,
          ambientPressurePascal: 101_325,
        },
        ratedGaugePressurePascal: null,
        carbonDioxideGramPerLitre: 0,
        fermentableGramPerLitre: 24,
        warmestCelsius: 20,
        yeast: 'present',
      }),
    );
    expect((got.greatestPascal ?? 0) + 101_325).toBeGreaterThan(750_000);
    expect((got.likelyPascal ?? 0) + 101_325).toBeGreaterThan(650_000);
  });
});
