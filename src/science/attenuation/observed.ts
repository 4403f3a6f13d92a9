/**
 * What a curve is held against: bins of sensor readings, hand samples and the original gravity, each with the
 * variance it is believed to have. Correlated error is dealt with by variance: rows that share one error are
 * each given as many times its variance as there are rows, so that together they count once.
 * Pure: no I/O, no clock, no randomness.
 */
import { robustSpread } from '../fit/spread.ts';
import { strayReach } from './beliefs.ts';
import type { BinValues } from './bins.ts';

export type Observed = {
  readonly timesDays: Float64Array;
  readonly gravities: Float64Array;
  /** Independent variance of each row. */
  readonly noise: Float64Array;
  /** 1 for rows of the sensor, 0 for rows free of its offset and drift. */
  readonly sensor: Float64Array;
  /** Days since the origin for rows of the sensor, 0 for others. */
  readonly drift: Float64Array;
};

/** A gravity that owes nothing to the sensor. */
export type FreeGravity = { readonly days: number; readonly gravity: number; readonly sd: number };

export const observedFrom = (
  bins: BinValues,
  readingSd: number,
  free: readonly FreeGravity[],
): Observed => {
  const count = bins.times.length;
  const rows = count + free.length;
  const observed = {
    timesDays: new Float64Array(rows),
    gravities: new Float64Array(rows),
    noise: new Float64Array(rows),
    sensor: new Float64Array(rows),
    drift: new Float64Array(rows),
  };
  observed.timesDays.set(bins.times);
  observed.gravities.set(bins.gravities);
  observed.drift.set(bins.times);
  observed.sensor.fill(1, 0, count);
  for (let k = 0; k < count; k += 1) {
    observed.noise[k] = readingSd ** 2 / (bins.weights[k] as number);
  }
  for (const [k, { days, gravity, sd }] of free.entries()) {
    observed.timesDays[count + k] = days;
    observed.gravities[count + k] = gravity;
    observed.noise[count + k] = sd * sd;
  }
  return observed;
};

export type RowWeights = {
  /** Inverse variances for the fitter. */
  readonly weights: Float64Array;
  /** Rows that would say as much if they were independent. */
  readonly effectiveRows: number;
};

/** Variance of straying from the curve where this share of the fall is left: none at the ends, most in the middle. */
export const strayVariance = (strayShare: number, fall: number, left: number): number =>
  4 * (strayShare * fall) ** 2 * Math.max(0, left * (1 - left));

/**
 * Weights from noise and straying. `left` is the share of the fall left at each row; rows within `strayReach`
 * of each other stray together. `inflation` multiplies the noise.
 */
export const rowWeights = (
  observed: Observed,
  left: Float64Array,
  fall: number,
  strayShare: number,
  inflation: number,
): RowWeights => {
  const count = observed.timesDays.length;
  const weights = new Float64Array(count);
  let effectiveRows = 0;
  for (let k = 0; k < count; k += 1) {
    const own = left[k] as number;
    const sensor = observed.sensor[k] as number;
    let together = 0;
    for (let j = 0; j < count; j += 1) {
      const away = Math.abs((left[j] as number) - own) / strayReach;
      if (away < 1) together += 1 - away;
    }
    const noise = (observed.noise[k] as number) * (sensor === 1 ? inflation : 1);
    const stray = strayVariance(strayShare, fall, own);
    const variance = noise + Math.max(1, together) * stray;
    weights[k] = 1 / variance;
    effectiveRows += ((observed.noise[k] as number) + stray) / variance;
  }
  return { weights, effectiveRows };
};

/** Rows of the sensor below which their correlation cannot be told from chance. */
const fewRows = 8;
/** Scaled residuals are cut here before they are correlated, so that one fault does not decide. */
const cut = 3;

/**
 * How many times more the bins scatter about the curve than independent readings and straying would, correlation
 * with the neighbour included (the factor (1 + r) / (1 − r) of a first-order autoregression: G. E. P. Box,
 * G. M. Jenkins, Time Series Analysis, from memory). At least 1.
 */
export const excessNoise = (
  observed: Observed,
  curve: Float64Array,
  left: Float64Array,
  fall: number,
  strayShare: number,
): number => {
  const scaled = new Float64Array(observed.timesDays.length);
  let rows = 0;
  for (let k = 0; k < observed.timesDays.length; k += 1) {
    if (observed.sensor[k] === 0) continue;
    const stray = strayVariance(strayShare, fall, left[k] as number);
    const residual = (observed.gravities[k] as number) - (curve[k] as number);
    scaled[rows] = residual / Math.sqrt((observed.noise[k] as number) + stray);
    rows += 1;
  }
  if (rows < fewRows) return 1;
  let together = 0;
  let squares = 0;
  for (let k = 1; k < rows; k += 1) {
    const before = Math.max(-cut, Math.min(cut, scaled[k - 1] as number));
    const own = Math.max(-cut, Math.min(cut, scaled[k] as number));
    together += before * own;
    squares += own * own;
  }
  const correlation = squares > 0 ? Math.min(0.9, Math.max(0, together / squares)) : 0;
  const spread = robustSpread(scaled, rows);
  return Math.max(1, spread * spread) * ((1 + correlation) / (1 - correlation));
};

/**
 * How far the rows at the latest progress lie above a curve, weighted by nearness and precision; a row further off
 * than `cut` standard deviations counts as that far. The variance is that of independent noise times the excess.
 */
export const latestGap = (
  observed: Observed,
  curve: Float64Array,
  left: Float64Array,
  leftLast: number,
  fall: number,
  strayShare: number,
  excess: number,
): { readonly value: number; readonly variance: number } => {
  let total = 0;
  let sum = 0;
  let spread = 0;
  for (let k = 0; k < observed.timesDays.length; k += 1) {
    const near = 1 - Math.abs((left[k] as number) - leftLast) / strayReach;
    if (near <= 0) continue;
    const noise = observed.noise[k] as number;
    const most = cut * Math.sqrt(noise + strayVariance(strayShare, fall, left[k] as number));
    const gap = (observed.gravities[k] as number) - (curve[k] as number);
    const weight = near / noise;
    total += weight;
    sum += weight * Math.max(-most, Math.min(most, gap));
    spread += weight * weight * noise;
  }
  // Rows of a curve end with the latest one, so only a broken record has none.
  return total > 0
    ? { value: sum / total, variance: (excess * spread) / (total * total) }
    : { value: 0, variance: 1 };
};
