/**
 * What a curve is held against: bins of sensor readings, hand samples and the original gravity, each with the
 * variance it is believed to have. Correlated error is dealt with by variance: rows that share one error are
 * each given as many times its variance as there are rows, so that together they count once.
 * Pure: no I/O, no clock, no randomness.
 */
import { strayReach } from './beliefs.ts';

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
