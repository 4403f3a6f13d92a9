/**
 * The verdict on a drink in its closed vessel, as figures: shared by the closed vessel and the blend, which
 * asks the same of its keg.
 */
import { ok, type Result } from '../../result.ts';
import type { ScienceFault } from '../../science/fault.ts';
import { type RefermentationInput, refermentation } from '../../science/refermentation.ts';
import { bar, celsius, gramPerLitre, percent } from './drink-fields.ts';
import { choice } from './field.ts';
import type { Figures, ResultsOf } from './figure.ts';
import {
  balling,
  carroll,
  closedBalance,
  drinkSolubility,
  gasFromSugar,
  vapour,
} from './source.ts';

export const yeastField = choice({
  label: 'Yeast in it',
  hint: 'Removed only where it was filtered sterile or heated, and filled so.',
  options: { present: 'present, or not known', removed: 'removed' },
});

export const pressureSources = [carroll, drinkSolubility, vapour, closedBalance] as const;
const fermentedSources = [...pressureSources, gasFromSugar, balling] as const;
const beyond = 'above 11 bar, or without bound';

export const verdictFigures = {
  verdict: {
    kind: 'verdict',
    label: 'Verdict',
    verdicts: {
      'within-rating': { title: 'Within its rating', rank: 'plain' },
      'no-rating': { title: 'No rating known, nothing judged', rank: 'medium' },
      'too-much-if-it-referments': { title: 'Too much if it referments', rank: 'high' },
      'too-much-when-warm': { title: 'Too much when warm', rank: 'high' },
      'liquid-full': { title: 'Full to the brim when warm', rank: 'high' },
    },
    sources: fermentedSources,
  },
  gaugePressureWarmestPascal: {
    kind: 'number',
    label: 'At the warmest, by the gauge',
    ...bar,
    decimals: 2,
    none: beyond,
    sources: pressureSources,
  },
  gaugePressureLikelyPascal: {
    kind: 'number',
    label: 'If it referments, likely',
    ...bar,
    decimals: 2,
    none: beyond,
    sources: fermentedSources,
  },
  gaugePressureGreatestPascal: {
    kind: 'number',
    label: 'If it referments, at most',
    ...bar,
    decimals: 2,
    none: beyond,
    sources: fermentedSources,
  },
  ratingTakenShare: {
    kind: 'number',
    label: 'That is, of its rating',
    ...percent,
    decimals: 0,
    none: 'no pressure to compare',
    needs: 'ratedGaugePressurePascal',
    sources: fermentedSources,
  },
  tolerableFermentableGramPerLitre: {
    kind: 'number',
    label: 'Fermentable extract it bears',
    ...gramPerLitre,
    decimals: 1,
    none: 'none',
    needs: 'ratedGaugePressurePascal',
    sources: fermentedSources,
  },
  staysWithinBelowCelsius: {
    kind: 'number',
    label: 'Stays within its rating below',
    ...celsius,
    decimals: 0,
    none: 'none was found',
    needs: 'ratedGaugePressurePascal',
    sources: fermentedSources,
  },
} as const satisfies Figures;

export const remediesFigure = {
  kind: 'sentences',
  label: 'What would change that',
  sources: fermentedSources,
} as const;

export type KegVerdict = ResultsOf<typeof verdictFigures> & {
  readonly remedies: readonly string[];
};

/** Nothing was asked, or not enough is known to judge. */
export const noVerdict: KegVerdict = {
  verdict: null,
  gaugePressureWarmestPascal: null,
  gaugePressureLikelyPascal: null,
  gaugePressureGreatestPascal: null,
  ratingTakenShare: null,
  tolerableFermentableGramPerLitre: null,
  staysWithinBelowCelsius: null,
  remedies: [],
};

export const kegVerdict = (input: RefermentationInput): Result<KegVerdict, ScienceFault> => {
  const judged = refermentation(input);
  if (!judged.ok) return judged;
  const { value } = judged;
  return ok({
    verdict: { kind: value.verdict, words: value.words },
    gaugePressureWarmestPascal: value.withoutRefermentationPascal,
    gaugePressureLikelyPascal: value.likelyPascal,
    gaugePressureGreatestPascal: value.greatestPascal,
    ratingTakenShare: value.shareOfRating,
    tolerableFermentableGramPerLitre: value.tolerableFermentableGramPerLitre,
    staysWithinBelowCelsius: value.staysWithinBelowCelsius,
    remedies: value.remedies,
  });
};
