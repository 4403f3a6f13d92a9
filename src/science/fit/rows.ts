/**
 * The rows of a problem at given parameters: what they cost, and the weighted residuals and derivatives of
 * observations and priors as they go into the factorisation. A row of a robust loss carries the root of its weight.
 * Pure: no I/O, no clock, no randomness; writes only into the space it is given.
 */
import { cost, weightOf } from './loss.ts';
import type { Bound, Problem, Space } from './problem.ts';

/** Loss of the values against the observations, plus the priors' cost, in squared units of the observations. */
export const objectiveOf = (
  problem: Problem,
  space: Space,
  parameters: Float64Array,
  values: Float64Array,
  scale: number,
): number => {
  const { observations, loss } = problem;
  const { rootWeights } = space;
  let sum = 0;
  if (loss.kind === 'squares') {
    for (let i = 0; i < observations.length; i += 1) {
      const residual =
        (rootWeights[i] as number) * ((observations[i] as number) - (values[i] as number));
      sum += residual * residual;
    }
  } else {
    let scaledSum = 0;
    for (let i = 0; i < observations.length; i += 1) {
      const residual =
        (rootWeights[i] as number) * ((observations[i] as number) - (values[i] as number));
      scaledSum += cost(loss, residual / scale);
    }
    sum = scaledSum * scale * scale;
  }
  for (const prior of problem.priors) {
    let miss = prior.value;
    for (let j = 0; j < parameters.length; j += 1) {
      miss -= (prior.coefficients[j] as number) * (parameters[j] as number);
    }
    sum += ((scale / prior.sd) * miss) ** 2;
  }
  return sum;
};

/** Fills rows and right-hand side: residuals and derivatives of observations, then of priors. Returns |right|². */
export const assemble = (
  problem: Problem,
  space: Space,
  scale: number,
  reweighted: boolean,
): number => {
  const { observations, loss } = problem;
  const { parameters, values, jacobian, rootWeights, rows, right, scratch } = space;
  const count = observations.length;
  const columns = parameters.length;
  const tall = count + problem.priors.length;
  let squares = 0;
  for (let i = 0; i < count; i += 1) {
    const root = rootWeights[i] as number;
    const residual = root * ((observations[i] as number) - (values[i] as number));
    const share =
      reweighted && loss.kind !== 'squares' ? Math.sqrt(weightOf(loss, residual / scale)) : 1;
    const weighted = share * residual;
    right[i] = weighted;
    squares += weighted * weighted;
    scratch[i] = share * root;
  }
  for (let j = 0; j < columns; j += 1) {
    const from = j * count;
    const to = j * tall;
    for (let i = 0; i < count; i += 1) {
      rows[to + i] = (scratch[i] as number) * (jacobian[from + i] as number);
    }
  }
  for (let k = 0; k < problem.priors.length; k += 1) {
    const prior = problem.priors[k];
    if (prior === undefined) continue;
    const share = scale / prior.sd;
    let miss = prior.value;
    for (let j = 0; j < columns; j += 1) {
      const coefficient = prior.coefficients[j] as number;
      miss -= coefficient * (parameters[j] as number);
      rows[j * tall + count + k] = share * coefficient;
    }
    right[count + k] = share * miss;
    squares += (share * miss) ** 2;
  }
  return squares;
};

/** Is the parameter on a bound that its steepest descent would cross? */
export const isHeld = (
  bound: Bound | undefined,
  value: number,
  rows: Float64Array,
  right: Float64Array,
  from: number,
  tall: number,
): boolean => {
  if (bound === undefined || (value > bound.low && value < bound.high)) return false;
  let slope = 0;
  for (let i = 0; i < tall; i += 1) {
    slope += (rows[from + i] as number) * (right[i] as number);
  }
  return (value <= bound.low && slope < 0) || (value >= bound.high && slope > 0);
};
