/**
 * Quantiles of a mixture of normal laws: the answer of an averaged model.
 * Pure: no I/O, no clock, no randomness.
 */
import { errorFunction } from 'simple-statistics';
import type { Estimate } from '../estimate.ts';

export type Mixture = {
  readonly shares: readonly number[];
  readonly means: readonly number[];
  readonly sds: readonly number[];
};

/** Bounds of a 90 % band. */
const lowTail = 0.05;
/** Halvings: the answer is exact to a billionth of the spread. */
const halvings = 40;

const below = ({ shares, means, sds }: Mixture, x: number): number => {
  let sum = 0;
  for (let k = 0; k < shares.length; k += 1) {
    const sd = sds[k] as number;
    const away = x - (means[k] as number);
    const part = sd > 0 ? (1 + errorFunction(away / (sd * Math.SQRT2))) / 2 : away >= 0 ? 1 : 0;
    sum += (shares[k] as number) * part;
  }
  return sum;
};

const quantile = (mixture: Mixture, share: number): number => {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (let k = 0; k < mixture.means.length; k += 1) {
    const reach = 7 * (mixture.sds[k] as number);
    low = Math.min(low, (mixture.means[k] as number) - reach);
    high = Math.max(high, (mixture.means[k] as number) + reach);
  }
  for (let halving = 0; halving < halvings; halving += 1) {
    const middle = (low + high) / 2;
    if (below(mixture, middle) < share) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
};

/** Median with the 5 % and 95 % quantiles. */
export const estimateOf = (mixture: Mixture): Estimate => ({
  value: quantile(mixture, 0.5),
  low: quantile(mixture, lowTail),
  high: quantile(mixture, 1 - lowTail),
});

/** Mean and variance of the whole. */
export const momentsOf = ({ shares, means, sds }: Mixture): { mean: number; variance: number } => {
  let total = 0;
  let mean = 0;
  for (let k = 0; k < shares.length; k += 1) {
    total += shares[k] as number;
    mean += (shares[k] as number) * (means[k] as number);
  }
  mean /= total;
  let variance = 0;
  for (let k = 0; k < shares.length; k += 1) {
    variance +=
      (shares[k] as number) * (((means[k] as number) - mean) ** 2 + (sds[k] as number) ** 2);
  }
  return { mean, variance: variance / total };
};

/** A mixture with a further normal law that takes `share` of the belief. */
export const joined = (mixture: Mixture, share: number, mean: number, sd: number): Mixture =>
  share > 0
    ? {
        shares: [...mixture.shares.map((own) => own * (1 - share)), share],
        means: [...mixture.means, mean],
        sds: [...mixture.sds, sd],
      }
    : mixture;
