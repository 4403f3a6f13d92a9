/** How much readings scatter about a smooth course. Pure. */
import { median } from './median.ts';

/**
 * Robust standard deviation from second differences, which neither level nor steady slope enters; six of a
 * difference's variances make one of a value's. Zero for fewer than six values.
 */
export const scatterOf = (values: readonly number[]): number => {
  const bends = values
    .slice(2)
    .map((value, index) =>
      Math.abs(value - 2 * (values[index + 1] ?? value) + (values[index] ?? value)),
    );
  return bends.length < 4 ? 0 : (1.4826 * median(bends)) / Math.sqrt(6);
};
