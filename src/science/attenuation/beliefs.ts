/**
 * What is believed before a reading is seen. Every number here is an assumption of this house, chosen wide and
 * checked for honest bands on simulated fermentations (tests/science/attenuation-honesty.test.ts).
 * Pure data.
 */
import type { CurveModel } from './curve-models.ts';

type Normal = { readonly value: number; readonly sd: number };

export type CurveBelief = {
  /** Belief in the model against the others. */
  readonly weight: number;
  /** Days from pitching to the curve's place: midpoint, inflection, or end of the lag. */
  readonly place: Normal;
  readonly lnRate: Normal;
  readonly shape: Normal | null;
  readonly shapeBound: { readonly low: number; readonly high: number };
};

export const curveBeliefs: Readonly<Record<CurveModel, CurveBelief>> = {
  logistic: {
    weight: 0.25,
    place: { value: 2, sd: 1.5 },
    lnRate: { value: -0.1, sd: 0.7 },
    shape: null,
    shapeBound: { low: 0, high: 0 },
  },
  'generalised-logistic': {
    weight: 0.25,
    place: { value: 1.5, sd: 1.2 },
    lnRate: { value: 0.4, sd: 0.9 },
    shape: { value: 0.5, sd: 0.8 },
    shapeBound: { low: -2, high: 5 },
  },
  lagged: {
    weight: 0.5,
    place: { value: 0.25, sd: 0.35 },
    lnRate: { value: -0.95, sd: 0.7 },
    shape: { value: 0.45, sd: 0.3 },
    shapeBound: { low: 0, high: 2 },
  },
};

/** Standard deviation of a sensor's constant error, specific gravity. Larger widens every band. */
export const offsetSd = 0.0013;
/** Standard deviation of a sensor's drift, specific gravity per day. */
export const driftSdPerDay = 0.00013;
/** How far a real fermentation strays from a curve of these families, as a share of the fall. */
export const strayShare = 0.018;
/** Share of the fall within which straying is taken as one common error. */
export const strayReach = 0.1;
/** Apparent attenuation of fermented drinks in general; stands in where nothing is known of the terminal gravity. */
export const apparentAttenuation = { value: 0.82, sd: 0.16 };
/** Relative error of the time from one tenth left to finished: slow sugars and settling yeast stretch the tail. */
export const tailError = 0.6;
/** Relative error of the time to one tenth left, as far as it is still ahead at the last reading. */
export const aheadTimeError = 0.25;
/** Relative error of the fall that is foretold from the last reading on. */
export const aheadFallError = 0.25;
/**
 * Belief that what looks like the end is a pause, before anything is seen; how long the rest then takes (days for
 * all but 1/e of it) and the relative error of that. A larger share trusts the prior longer against a plateau.
 */
export const pauseShare = 0.1;
export const restDays = 3;
export const restError = 0.7;
