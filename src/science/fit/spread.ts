/**
 * Robust spread of residuals: the median absolute residual, scaled to the standard deviation of a normal law.
 * F. R. Hampel, J. Am. Stat. Assoc. 69 (1974) 383: the factor is 1 / Φ⁻¹(3/4) = 1.4826.
 * Pure: no I/O, no clock, no randomness; `scratch` is overwritten.
 */
import { quickselect } from 'simple-statistics';

const normalFactor = 1.482602218505602;

/** Standard deviation from the absolute values of the first `count` entries of `scratch`; 0 for none. */
export const robustSpread = (scratch: Float64Array, count: number): number => {
  if (count === 0) return 0;
  if (count === 1) return normalFactor * Math.abs(scratch[0] as number);
  for (let i = 0; i < count; i += 1) scratch[i] = Math.abs(scratch[i] as number);
  const middle = count >> 1;
  // The library is typed for plain arrays; it only reads and swaps entries.
  const entries = scratch as unknown as number[];
  quickselect(entries, middle, 0, count - 1);
  let median = scratch[middle] as number;
  if (count % 2 === 0) {
    let below = 0;
    for (let i = 0; i < middle; i += 1) below = Math.max(below, scratch[i] as number);
    median = (median + below) / 2;
  }
  return normalFactor * median;
};
