/**
 * What is believed of terminal gravity before the curve says anything: the brewer's estimate, a limit test,
 * and what drinks of this kind usually reach, joined as normal distributions. In points of 0.001. Pure.
 */
import type { Batch, Drink } from '../batch.ts';

export type PointsBelief = { readonly points: number; readonly sd: number };

/**
 * Standard deviation of a brewer's estimate about the truth. Assumption: the sample in fixtures/bench is said to
 * be wrong by several points, and the median error of the estimate on the larger set is 2.3 points.
 */
const estimateSd = 3.4;

/** A limit test ferments a sample to its end; its error in shares of the extract. Assumption. */
const limitTestShareSd = 0.015;

/** Usual apparent attenuation, as share of the original points. Common practice, no source. */
const usualAttenuation: Readonly<Partial<Record<Drink, { mean: number; sd: number }>>> = {
  ale: { mean: 0.76, sd: 0.05 },
  lager: { mean: 0.77, sd: 0.045 },
};

/** Drinks without dextrins end near a gravity rather than at a share. Common practice, no source. */
const usualTerminal: Readonly<Partial<Record<Drink, PointsBelief>>> = {
  wine: { points: -7.5, sd: 3.5 },
  mead: { points: -1, sd: 7 },
  cider: { points: 0, sd: 4 },
};

/** Null where nothing at all is known. */
export const terminalBelief = (
  batch: Batch,
  originalPoints: number | null,
): PointsBelief | null => {
  const beliefs: PointsBelief[] = [];
  if (batch.expectedTerminalGravity !== null) {
    beliefs.push({ points: (batch.expectedTerminalGravity - 1) * 1000, sd: estimateSd });
  }
  if (originalPoints !== null) {
    if (batch.attenuationLimit !== null) {
      beliefs.push({
        points: originalPoints * (1 - batch.attenuationLimit),
        sd: Math.max(0.5, originalPoints * limitTestShareSd),
      });
    }
    const usual = usualAttenuation[batch.drink];
    if (usual !== undefined) {
      beliefs.push({ points: originalPoints * (1 - usual.mean), sd: originalPoints * usual.sd });
    }
  }
  const end = usualTerminal[batch.drink];
  if (end !== undefined) beliefs.push(end);
  if (beliefs.length === 0) return null;
  let weight = 0;
  let sum = 0;
  for (const { points, sd } of beliefs) {
    weight += 1 / sd ** 2;
    sum += points / sd ** 2;
  }
  return { points: sum / weight, sd: 1 / Math.sqrt(weight) };
};
