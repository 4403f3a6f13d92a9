/**
 * A nonlinear least-squares problem as the fitter takes it, and its work space.
 * Pure: no I/O, no clock, no randomness.
 */
import type { Loss } from './loss.ts';

/**
 * Writes the model's value for every observation, and its derivatives column by column:
 * `jacobian[parameter * observations + observation]`. A value that is not finite refuses the parameters.
 */
export type Evaluate = (
  parameters: Float64Array,
  values: Float64Array,
  jacobian: Float64Array,
) => void;

/** Knowledge from elsewhere: the sum of coefficient times parameter is normal about `value`. */
export type LinearPrior = {
  readonly coefficients: readonly number[];
  readonly value: number;
  readonly sd: number;
};

export type Bound = { readonly low: number; readonly high: number };

/** Standard deviation of an observation of weight 1: known, or found from the fit. */
export type Noise =
  | { readonly kind: 'known'; readonly sd: number }
  /** `first` saves the search a pass; `floor` guards against readings rounded to one value. */
  | { readonly kind: 'estimated'; readonly first?: number; readonly floor?: number };

export type Problem = {
  readonly observations: Float64Array;
  /** Multiply squared residuals: inverse variances, up to the common noise. 0 leaves one out. */
  readonly weights: Float64Array | null;
  readonly evaluate: Evaluate;
  readonly start: readonly number[];
  readonly bounds: readonly Bound[] | null;
  readonly priors: readonly LinearPrior[];
  readonly loss: Loss;
  readonly noise: Noise;
};

export type Space = {
  readonly parameters: Float64Array;
  readonly trial: Float64Array;
  values: Float64Array;
  jacobian: Float64Array;
  trialValues: Float64Array;
  trialJacobian: Float64Array;
  /** Square roots of the weights. */
  readonly rootWeights: Float64Array;
  /** Rows of observations and priors, weighted, as they go into the factorisation. */
  readonly rows: Float64Array;
  readonly right: Float64Array;
  readonly scratch: Float64Array;
};

export const spaceFor = (problem: Problem): Space => {
  const count = problem.observations.length;
  const columns = problem.start.length;
  const tall = count + problem.priors.length;
  const rootWeights = new Float64Array(count);
  for (let i = 0; i < count; i += 1) {
    rootWeights[i] = problem.weights === null ? 1 : Math.sqrt(problem.weights[i] as number);
  }
  return {
    parameters: Float64Array.from(problem.start),
    trial: new Float64Array(columns),
    values: new Float64Array(count),
    jacobian: new Float64Array(count * columns),
    trialValues: new Float64Array(count),
    trialJacobian: new Float64Array(count * columns),
    rootWeights,
    rows: new Float64Array(tall * columns),
    right: new Float64Array(tall),
    scratch: new Float64Array(count),
  };
};
