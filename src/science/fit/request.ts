/**
 * What the fitter is asked, and what can be wrong with it.
 * Pure: no I/O, no clock, no randomness.
 */
import type { Tolerance } from './descent.ts';
import type { Loss } from './loss.ts';
import type { Bound, Evaluate, LinearPrior, Noise } from './problem.ts';

export type LeastSquaresRequest = {
  readonly observations: Float64Array;
  readonly evaluate: Evaluate;
  readonly start: readonly number[];
  readonly weights?: Float64Array | null;
  readonly bounds?: readonly Bound[] | null;
  readonly priors?: readonly LinearPrior[];
  readonly loss?: Loss;
  readonly noise?: Noise;
  readonly tolerance?: Partial<Tolerance>;
};

export type FitFault =
  | { readonly kind: 'bad-input'; readonly field: string; readonly value: number | null }
  | {
      readonly kind: 'too-few-observations';
      readonly observations: number;
      readonly parameters: number;
    }
  | { readonly kind: 'bad-start'; readonly start: readonly number[] }
  | {
      readonly kind: 'not-converged';
      readonly iterations: number;
      readonly parameters: readonly number[];
    };

/** What is wrong with a request; null where nothing is. */
export const faultOf = (request: LeastSquaresRequest): FitFault | null => {
  const bad = (field: string, value: number): FitFault => ({
    kind: 'bad-input',
    field,
    value: Number.isFinite(value) ? value : null,
  });
  for (const value of request.observations) {
    if (!Number.isFinite(value)) return bad('observations', value);
  }
  for (const value of request.start) if (!Number.isFinite(value)) return bad('start', value);
  for (const value of request.weights ?? []) {
    if (!(Number.isFinite(value) && value >= 0)) return bad('weights', value);
  }
  if (request.weights && request.weights.length !== request.observations.length) {
    return bad('weights.length', request.weights.length);
  }
  for (const prior of request.priors ?? []) {
    if (!(prior.sd > 0 && Number.isFinite(prior.sd))) return bad('priors.sd', prior.sd);
    if (!Number.isFinite(prior.value)) return bad('priors.value', prior.value);
    for (const coefficient of prior.coefficients) {
      if (!Number.isFinite(coefficient)) return bad('priors.coefficients', coefficient);
    }
    if (prior.coefficients.length !== request.start.length) {
      return bad('priors.coefficients.length', prior.coefficients.length);
    }
  }
  if (request.bounds && request.bounds.length !== request.start.length) {
    return bad('bounds.length', request.bounds.length);
  }
  for (const bound of request.bounds ?? []) {
    if (!(bound.low <= bound.high)) return bad('bounds.low', bound.low);
  }
  const positive: readonly (readonly [string, number])[] = [
    ['noise.sd', request.noise?.kind === 'known' ? request.noise.sd : 1],
    ['loss.tuning', request.loss && request.loss.kind !== 'squares' ? request.loss.tuning : 1],
  ];
  for (const [field, value] of positive) {
    if (!(value > 0 && Number.isFinite(value))) return bad(field, value);
  }
  return null;
};
