/**
 * The models weighed against each other: AICc with the belief in each model before, and parameters counted by what
 * the observations decide. C. M. Hurvich, C.-L. Tsai, Biometrika 76 (1989) 297; K. P. Burnham, D. R. Anderson,
 * Model Selection and Multimodel Inference, 2nd ed. 2002, sections 2.4 and 2.9.
 * Pure: no I/O, no clock, no randomness.
 */
import type { LeastSquaresFit } from '../fit/least-squares.ts';
import { curveBeliefs } from './beliefs.ts';
import type { ModeFinder } from './mode.ts';

export type Mode = { readonly finder: ModeFinder; readonly mode: LeastSquaresFit };

/** AICc has no sense with fewer rows to spare; it then stays the large penalty that two would give. */
const leastRoom = 2;

/** Weights that add to 1, in the order given. */
export const modelWeights = (modes: readonly Mode[], effectiveRows: number): readonly number[] => {
  const criteria = modes.map(({ finder, mode }) => {
    const freedom = finder.freedom(mode);
    const room = Math.max(leastRoom, effectiveRows - freedom - 1);
    const belief = -2 * Math.log(curveBeliefs[finder.model].weight);
    return mode.objective + belief + 2 * freedom + (2 * freedom * (freedom + 1)) / room;
  });
  const lowest = Math.min(...criteria);
  const raw = criteria.map((criterion) => Math.exp((lowest - criterion) / 2));
  const total = raw.reduce((sum, weight) => sum + weight, 0);
  return raw.map((weight) => weight / total);
};
