/**
 * The most believed curve of one model given what was observed, at a free or a fixed terminal gravity.
 * Sensor offset and drift are parameters with their own beliefs, so that bands of true gravity contain them.
 * Pure: no I/O, no clock, no randomness.
 */
import { fitLeastSquares, type LeastSquaresFit } from '../fit/least-squares.ts';
import type { Loss } from '../fit/loss.ts';
import type { Bound, LinearPrior } from '../fit/problem.ts';
import { curveBeliefs, driftSdPerDay, offsetSd } from './beliefs.ts';
import { type CurveModel, parameterCount } from './curve-models.ts';
import { gravityRows } from './gravity-rows.ts';
import type { Observed } from './observed.ts';

export type Setting = {
  /** Days from the origin at which the batch was pitched, or 0 with wider beliefs where that is not known. */
  readonly pitchedDays: number;
  readonly pitchKnown: boolean;
  readonly terminal: { readonly value: number; readonly sd: number };
  /** Terminal gravity cannot lie outside. */
  readonly terminalBound: Bound;
};

/** Bends at two standard deviations: wrong by more is taken as a fault of the reading, not of the curve. */
const loss: Loss = { kind: 'huber', tuning: 2 };
/** A thousandth of a standard error is far inside every band. */
const tolerance = { offset: 2e-3, step: 1e-9, sumOfSquares: 1e-9, iterations: 60 };

export type ModeFinder = {
  readonly model: CurveModel;
  readonly find: (
    start: readonly number[],
    weights: Float64Array,
    terminal: number | null,
  ) => LeastSquaresFit | null;
  /**
   * Parameters that the observations decide rather than the beliefs: each counts for the share of its belief's
   * variance that is gone (D. J. Spiegelhalter et al., J. R. Stat. Soc. B 64 (2002) 583, from memory).
   */
  readonly freedom: (mode: LeastSquaresFit) => number;
};

export const modeFinder = (model: CurveModel, observed: Observed, setting: Setting): ModeFinder => {
  const belief = curveBeliefs[model];
  const own = parameterCount[model];
  const evaluate = gravityRows(model, observed.timesDays, [observed.sensor, observed.drift]);
  const size = own + 2;
  const unit = (index: number): readonly number[] =>
    Array.from({ length: size }, (_, k) => (k === index ? 1 : 0));
  const vague = setting.pitchKnown ? 1 : 2;
  const priors: LinearPrior[] = [
    {
      coefficients: unit(2),
      value: setting.pitchedDays + belief.place.value,
      sd: vague * belief.place.sd,
    },
    { coefficients: unit(0), ...setting.terminal },
    { coefficients: unit(3), ...belief.lnRate },
    { coefficients: unit(own), value: 0, sd: offsetSd },
    { coefficients: unit(own + 1), value: 0, sd: driftSdPerDay },
  ];
  if (belief.shape !== null) priors.push({ coefficients: unit(4), ...belief.shape });
  const places: Bound = {
    low: setting.pitchKnown ? setting.pitchedDays : setting.pitchedDays - 5,
    high: setting.pitchedDays + 120,
  };
  const rest: Bound[] = [
    { low: 0.0005, high: 0.25 },
    places,
    { low: -5, high: 4 },
    ...(own === 5 ? [belief.shapeBound] : []),
    { low: -0.05, high: 0.05 },
    { low: -0.01, high: 0.01 },
  ];
  return {
    model,
    find: (start, weights, terminal) => {
      const fixed = terminal === null ? setting.terminalBound : { low: terminal, high: terminal };
      const result = fitLeastSquares({
        observations: observed.gravities,
        weights,
        evaluate,
        start,
        bounds: [fixed, ...rest],
        priors,
        loss,
        noise: { kind: 'known', sd: 1 },
        tolerance,
      });
      return result.ok && result.value.covariance !== null ? result.value : null;
    },
    freedom: ({ standardErrors }) => {
      let sum = size;
      for (const { coefficients, sd } of priors) {
        const error = standardErrors?.[coefficients.indexOf(1)] ?? 0;
        sum -= Math.min(1, (error / sd) ** 2);
      }
      return sum;
    },
  };
};
