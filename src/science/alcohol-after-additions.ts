/**
 * Alcohol and extract of a fermentation to which sugar, water, wort or spirit was added on the way.
 *
 * Mass balance: all that went in is a mass m, an extract e and an alcohol a. Fermenting x g of alcohol
 * takes 2.0665 x of extract and 1.0665 x of mass (balling.ts), whenever it happens, so the order of
 * additions and fermentation does not matter. x is found from the present gravity: the density of what is
 * left (drink-density.ts) falls steadily with x. No attenuation quotient enters.
 * Dropped: what was taken out by samples or racking between additions (it takes all parts alike only if
 * it left after the last addition), gas and yeast still in the liquid.
 * Pure: no I/O, no clock, no randomness.
 */
import { fail, ok, type Result } from '../result.ts';
import { spiritDensityAt20 } from './alcohol.ts';
import { extractPerAlcohol } from './balling.ts';
import { pureEthanolDensity } from './ethanol-density.ts';
import { firstOutside, type ScienceFault } from './fault.ts';
import { extractFromGravity } from './gravity.ts';
import { type Parts, volumeOf } from './parts.ts';
import { densityAt20FromGravity, sucroseDensityAt, waterDensityAt } from './sucrose-density.ts';

export type Addition =
  /** Dry sugar, counted as extract in full. */
  | { readonly kind: 'sugar'; readonly gram: number }
  | { readonly kind: 'water'; readonly litre: number }
  /** Wort, must, juice or syrup. */
  | { readonly kind: 'wort'; readonly litre: number; readonly extractPlato: number }
  | { readonly kind: 'spirit'; readonly litre: number; readonly alcoholByVolumePercent: number };

export type AdditionsInput = {
  readonly wortVolumeLitre: number;
  readonly originalGravity: number;
  readonly additions: readonly Addition[];
  readonly presentGravity: number;
};

export type AdditionsResult = {
  readonly alcoholByVolumePercent: number;
  readonly alcoholMassPercent: number;
  readonly realExtractPlato: number;
  readonly extractGramPerLitre: number;
  /** Extract that the same drink would have started from had all been there at the start. */
  readonly equivalentOriginalExtractPlato: number;
  /** Alcohol that came in as spirit, as a share of all alcohol, 0 to 1. */
  readonly shareAddedAsSpirit: number;
  /** At 20 °C, gas-free. */
  readonly volumeLitre: number;
  readonly massGram: number;
};

const outside = (addition: Addition): ScienceFault | null => {
  switch (addition.kind) {
    case 'sugar':
      return firstOutside([['sugar', addition.gram, 0, 1e8, 'g']]);
    case 'water':
      return firstOutside([['water', addition.litre, 0, 1e6, 'L']]);
    case 'wort':
      return firstOutside([
        ['wort', addition.litre, 0, 1e6, 'L'],
        ['extractPlato', addition.extractPlato, 0, 65, '°P'],
      ]);
    case 'spirit':
      return firstOutside([
        ['spirit', addition.litre, 0, 1e6, 'L'],
        ['alcoholByVolumePercent', addition.alcoholByVolumePercent, 0, 100, '% vol'],
      ]);
  }
};

const broughtIn = (addition: Addition): Parts => {
  switch (addition.kind) {
    case 'sugar':
      return { mass: addition.gram, extract: addition.gram, alcohol: 0 };
    case 'water':
      return { mass: addition.litre * waterDensityAt(20), extract: 0, alcohol: 0 };
    case 'wort': {
      const mass = addition.litre * sucroseDensityAt(addition.extractPlato, 20);
      return { mass, extract: (mass * addition.extractPlato) / 100, alcohol: 0 };
    }
    case 'spirit':
      return {
        mass: addition.litre * spiritDensityAt20(addition.alcoholByVolumePercent),
        extract: 0,
        alcohol: addition.litre * (addition.alcoholByVolumePercent / 100) * pureEthanolDensity,
      };
  }
};

const fermented = (parts: Parts, x: number): Parts => ({
  mass: parts.mass - (extractPerAlcohol - 1) * x,
  extract: parts.extract - extractPerAlcohol * x,
  alcohol: parts.alcohol + x,
});

/** Alcohol and extract at the present gravity. */
export const alcoholAfterAdditions = (
  input: AdditionsInput,
): Result<AdditionsResult, ScienceFault> => {
  const fault =
    firstOutside([
      ['wortVolumeLitre', input.wortVolumeLitre, 0.01, 1e6, 'L'],
      ['originalGravity', input.originalGravity, 1, 1.17, 'SG 20/20'],
      ['presentGravity', input.presentGravity, 0.96, 1.17, 'SG 20/20'],
    ]) ?? input.additions.reduce<ScienceFault | null>((first, one) => first ?? outside(one), null);
  if (fault) return fail(fault);
  const original = extractFromGravity(input.originalGravity);
  if (!original.ok) return original;

  const wortMass = input.wortVolumeLitre * densityAt20FromGravity(input.originalGravity);
  const start: Parts = {
    mass: wortMass,
    extract: (wortMass * Math.max(0, original.value)) / 100,
    alcohol: 0,
  };
  const all = input.additions.map(broughtIn).reduce(
    (sum, one) => ({
      mass: sum.mass + one.mass,
      extract: sum.extract + one.extract,
      alcohol: sum.alcohol + one.alcohol,
    }),
    start,
  );

  const most = all.extract / extractPerAlcohol;
  const strongest = fermented(all, most);
  const tooStrong = firstOutside([
    [
      'alcoholByVolumePercent',
      (100 * strongest.alcohol) / (volumeOf(strongest) * pureEthanolDensity),
      0,
      60,
      '% vol',
    ],
    ['extractPlato', (100 * all.extract) / all.mass, 0, 60, '°P'],
  ]);
  if (tooStrong) return fail(tooStrong);

  const target = densityAt20FromGravity(input.presentGravity);
  const densityAfter = (x: number): number => {
    const left = fermented(all, x);
    return left.mass / volumeOf(left);
  };
  const contradiction = (reason: string): Result<never, ScienceFault> =>
    fail({
      kind: 'contradiction',
      field: 'presentGravity',
      value: input.presentGravity,
      against: 'originalGravity and additions',
      againstValue: input.originalGravity,
      unit: 'SG 20/20',
      reason,
    });
  // 0.5 kg/m3 is half a point of gravity: the play of a hydrometer at the start.
  if (densityAfter(0) < target - 0.5) {
    return contradiction('it is heavier than all that went in; check the gravities and additions');
  }
  if (densityAfter(most) > target) {
    return contradiction('it is lighter than if all extract had fermented; check the additions');
  }
  let low = 0;
  let high = most;
  for (let round = 0; round < 50; round += 1) {
    const middle = (low + high) / 2;
    if (densityAfter(middle) > target) low = middle;
    else high = middle;
  }
  const left = fermented(all, (low + high) / 2);
  const volume = volumeOf(left);
  return ok({
    alcoholByVolumePercent: (100 * left.alcohol) / (volume * pureEthanolDensity),
    alcoholMassPercent: (100 * left.alcohol) / left.mass,
    realExtractPlato: (100 * left.extract) / left.mass,
    extractGramPerLitre: left.extract / volume,
    equivalentOriginalExtractPlato: (100 * all.extract) / all.mass,
    shareAddedAsSpirit: left.alcohol > 0 ? all.alcohol / left.alcohol : 0,
    volumeLitre: volume,
    massGram: left.mass,
  });
};
