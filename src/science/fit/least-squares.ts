/**
 * Nonlinear least squares: the fitter of this house. Takes a model with analytic derivatives; returns parameters
 * with covariance. Weights, bounds, priors and a robust loss are optional; see problem.ts and loss.ts.
 * With a robust loss, or with priors and an unknown noise, the noise is the median absolute residual (or the
 * residual standard deviation), found again after each descent until it settles (Huber 1981 section 7.8).
 * Pure and deterministic: no I/O, no clock, no randomness. Examined on the NIST StRD problems in tests.
 */
import { fail, ok, type Result } from '../../result.ts';
import { covarianceOf } from './covariance.ts';
import { type Descent, descend, type Stop, type Tolerance } from './descent.ts';
import { curvatureOf, weightOf } from './loss.ts';
import { type Problem, type Space, spaceFor } from './problem.ts';
import { type FitFault, faultOf, type LeastSquaresRequest } from './request.ts';
import { assemble } from './rows.ts';
import { robustSpread } from './spread.ts';

export type LeastSquaresFit = {
  readonly parameters: readonly number[];
  readonly standardErrors: readonly number[] | null;
  /** Row-major; null where the observations cannot tell the parameters apart. */
  readonly covariance: readonly number[] | null;
  /** True for a parameter that ended on a bound: its standard error is 0, given the bound. */
  readonly held: readonly boolean[];
  /** Weighted sum of squared residuals of the observations, whatever the loss. */
  readonly residualSumOfSquares: number;
  /** What was minimised: loss of the observations and cost of the priors. */
  readonly objective: number;
  readonly degreesOfFreedom: number;
  /** Standard deviation of an observation of weight 1. */
  readonly noiseSd: number;
  /** Weight left to each observation by the robust loss, 0 to 1. */
  readonly robustWeights: Float64Array;
  /** Model values at the observations. */
  readonly values: Float64Array;
  readonly stop: Exclude<Stop, 'bad-start' | 'exhausted'>;
  readonly iterations: number;
  readonly evaluations: number;
};

/**
 * Tight enough for certified problems; a caller with noisy readings may loosen the offset to 1e-3 (a thousandth
 * of a standard error) and halve the work.
 */
const strict: Tolerance = { offset: 1e-9, step: 1e-12, sumOfSquares: 1e-15, iterations: 500 };
/** The noise has settled when it moves by less than this share; it is known to about 1 / √(2·readings) at best. */
const noiseSettled = 0.01;
const mostPasses = 8;
/** While the noise is being found, a twentieth of a standard error is near enough. */
const roughOffset = 0.05;
/** A redescending loss can lose all curvature; below this share the covariance would mean nothing anyway. */
const leastCurvature = 0.05;

const residualsInto = (problem: Problem, space: Space): number => {
  let sum = 0;
  let used = 0;
  for (let i = 0; i < problem.observations.length; i += 1) {
    const root = space.rootWeights[i] as number;
    if (root === 0) continue;
    const residual = root * ((problem.observations[i] as number) - (space.values[i] as number));
    space.scratch[used] = residual;
    sum += residual * residual;
    used += 1;
  }
  return sum;
};

export const fitLeastSquares = (
  request: LeastSquaresRequest,
): Result<LeastSquaresFit, FitFault> => {
  const fault = faultOf(request);
  if (fault !== null) return fail(fault);
  const {
    bounds = null,
    priors = [],
    loss = { kind: 'squares' },
    noise = { kind: 'estimated' },
  } = request;
  const start = request.start.map((value, j) => {
    const bound = bounds?.[j];
    return bound === undefined ? value : Math.min(bound.high, Math.max(bound.low, value));
  });
  const problem: Problem = {
    observations: request.observations,
    weights: request.weights ?? null,
    evaluate: request.evaluate,
    start,
    bounds,
    priors,
    loss,
    noise,
  };
  const tolerance = { ...strict, ...request.tolerance };
  const space = spaceFor(problem);
  const columns = start.length;
  const count = problem.observations.length;
  let used = 0;
  for (const root of space.rootWeights) if (root > 0) used += 1;
  const degreesOfFreedom = used + priors.length - columns;
  // An exact fit leaves no freedom to estimate the noise.
  if (degreesOfFreedom < (noise.kind === 'known' ? 0 : 1)) {
    return fail({
      kind: 'too-few-observations',
      observations: used + priors.length,
      parameters: columns,
    });
  }
  const robust = loss.kind !== 'squares';
  const spread = (): number => {
    const sum = residualsInto(problem, space);
    const sd = robust ? robustSpread(space.scratch, used) : Math.sqrt(sum / Math.max(1, used));
    // Fitted parameters flatter the residuals; the usual factor, applied to the robust spread as well.
    return sd * (robust ? Math.sqrt(used / Math.max(1, used - Math.min(columns, used / 2))) : 1);
  };
  let scale = 1;
  const floor = noise.kind === 'estimated' ? (noise.floor ?? 0) : 0;
  const scaleMatters = robust || priors.length > 0 || noise.kind === 'known';
  const searched = scaleMatters && noise.kind === 'estimated';
  if (noise.kind === 'known') scale = noise.sd;
  else if (scaleMatters) {
    problem.evaluate(space.parameters, space.values, space.jacobian);
    scale = Math.max(floor, noise.first ?? spread());
    if (!Number.isFinite(scale)) return fail({ kind: 'bad-start', start });
    // More than half of the residuals vanish: any scale serves until the others have been looked at.
    if (scale === 0) scale = Math.sqrt(residualsInto(problem, space) / used) || 1;
  }
  const rough = { ...tolerance, offset: Math.max(tolerance.offset, roughOffset) };
  let descent: Descent = { stop: 'exhausted', iterations: 0, evaluations: 0, objective: 0 };
  let iterations = 0;
  let evaluations = searched ? 1 : 0;
  let settled = !searched;
  for (let pass = 1; pass <= mostPasses; pass += 1) {
    const evaluated = searched || pass > 1;
    descent = descend(problem, space, scale, settled ? tolerance : rough, evaluated);
    iterations += descent.iterations;
    evaluations += descent.evaluations;
    if (descent.stop === 'bad-start') return fail({ kind: 'bad-start', start });
    if (settled) break;
    const found = Math.max(floor, spread());
    settled = Math.abs(found - scale) <= noiseSettled * scale || pass === mostPasses - 1;
    if (found > 0) scale = found;
    else settled = true;
  }
  const parameters = Array.from(space.parameters);
  if (descent.stop === 'exhausted') return fail({ kind: 'not-converged', iterations, parameters });
  const stop = descent.stop as Exclude<Stop, 'bad-start' | 'exhausted'>;

  const residualSumOfSquares = residualsInto(problem, space);
  const robustWeights = new Float64Array(count).fill(1);
  let variance = scaleMatters ? scale * scale : residualSumOfSquares / degreesOfFreedom;
  if (robust) {
    let squares = 0;
    let curvature = 0;
    for (let i = 0; i < count; i += 1) {
      const root = space.rootWeights[i] as number;
      if (root === 0) continue;
      const scaled =
        (root * ((problem.observations[i] as number) - (space.values[i] as number))) / scale;
      const weight = weightOf(loss, scaled);
      robustWeights[i] = weight;
      squares += (weight * scaled) ** 2;
      curvature += curvatureOf(loss, scaled);
    }
    // Huber 1981 section 7.6. With a known noise the reweighted rows carry the loss instead.
    if (noise.kind === 'estimated') {
      const kept = Math.max(leastCurvature, curvature / used);
      variance = (scale * scale * squares) / Math.max(1, used - columns) / (kept * kept);
    }
  }
  const held = parameters.map((value, j) => {
    const bound = bounds?.[j];
    return bound !== undefined && (value <= bound.low || value >= bound.high);
  });
  const sd = Math.sqrt(variance);
  assemble(problem, space, sd > 0 ? sd : scale, robust && noise.kind === 'known');
  const covariance = covarianceOf(space.rows, count + priors.length, held, variance);
  const standardErrors =
    covariance?.every(Number.isFinite) === true
      ? parameters.map((_, j) => Math.sqrt(covariance[j * columns + j] as number))
      : null;
  return ok({
    parameters,
    standardErrors,
    covariance: standardErrors === null ? null : covariance,
    held,
    residualSumOfSquares,
    objective: descent.objective,
    degreesOfFreedom,
    noiseSd: robust ? scale : sd,
    robustWeights,
    values: space.values,
    stop,
    iterations,
    evaluations,
  });
};
