/**
 * What is asked of the shares of a blend: candidates with bounds, and windows for what the blend should hold.
 *
 * A window's width is its tolerance, so it must not be zero; a property that a candidate has not had measured
 * cannot be aimed at. Pure: no I/O, no clock, no randomness.
 */
import type { Composition } from './blend.ts';
import { firstOutside, type ScienceFault } from './fault.ts';

export const blendProperties = [
  'alcoholByVolumePercent',
  'extractGramPerLitre',
  'fermentableGramPerLitre',
  'titratableAcidGramPerLitre',
  'freeSulphurDioxideMilligramPerLitre',
  'carbonDioxideGramPerLitre',
] as const;

export type BlendProperty = (typeof blendProperties)[number];

/** A window that a property of the blend must fall in; its width is the tolerance and must not be zero. */
export type BlendTarget = {
  readonly property: BlendProperty;
  readonly low: number;
  readonly high: number;
};

export type BlendCandidate = Composition & {
  readonly name: string;
  /** Share of the drawn volume, 0 to 1. */
  readonly leastShare: number;
  readonly greatestShare: number;
  /** Money per litre; used only where `prefer` is 'cheapest'. */
  readonly costPerLitre: number;
};

export type SharesInput = {
  readonly candidates: readonly BlendCandidate[];
  readonly targets: readonly BlendTarget[];
  readonly prefer: 'deepest' | 'cheapest';
};

/** Why no shares can be looked for; null when they can. */
export const faultInTargets = (input: SharesInput): ScienceFault | null => {
  const noSolution = (field: string, reason: string): ScienceFault => ({
    kind: 'no-solution',
    field,
    reason,
  });
  if (input.candidates.length === 0) {
    return noSolution('candidates', 'there is nothing to blend; give at least one');
  }
  if (new Set(input.candidates.map(({ name }) => name)).size < input.candidates.length) {
    return noSolution('candidates', 'two bear the same name; give each its own');
  }
  for (const one of input.candidates) {
    const fault = firstOutside([
      [`${one.name}: leastShare`, one.leastShare, 0, 1, ''],
      [`${one.name}: greatestShare`, one.greatestShare, one.leastShare, 1, ''],
      [`${one.name}: costPerLitre`, one.costPerLitre, 0, 1e6, 'per L'],
    ]);
    if (fault) return fault;
    const unknown = input.targets.find(({ property }) => one[property] === null);
    if (unknown) {
      return noSolution(
        `${one.name}: ${unknown.property}`,
        'it is not known, so no target can be set on it; measure it or drop the target',
      );
    }
  }
  for (const { property, low, high } of input.targets) {
    const fault = firstOutside([
      [property, low, -1, 1e4, ''],
      [property, high, low, 1e4, ''],
    ]);
    if (fault) return fault;
    if (high === low) {
      return noSolution(
        property,
        'its window has no width; give the lowest and the highest allowed',
      );
    }
  }
  const least = input.candidates.reduce((sum, one) => sum + one.leastShare, 0);
  const greatest = input.candidates.reduce((sum, one) => sum + one.greatestShare, 0);
  if (least > 1 + 1e-9) {
    return noSolution(
      'leastShare',
      `the least shares add up to ${least.toFixed(3)}; lower them to 1`,
    );
  }
  if (greatest < 1 - 1e-9) {
    return noSolution(
      'greatestShare',
      `the greatest shares add up to ${greatest.toFixed(3)}; raise them to at least 1`,
    );
  }
  return null;
};
