/** An estimate from several possibilities, each with its weight. Pure: no I/O, no clock. */
import type { Estimate } from '../../science/estimate.ts';

export type Weighted = { readonly value: number; readonly weight: number };

/** The median and the 90 % band of what is weighted; null where nothing has weight. `shape` is put on each bound. */
export const weightedEstimate = (
  values: readonly Weighted[],
  shape: (value: number) => number,
): Estimate | null => {
  const sorted = [...values].sort((a, b) => a.value - b.value);
  const total = sorted.reduce((sum, { weight }) => sum + weight, 0);
  if (total <= 0) return null;
  const at = (share: number): number => {
    let sum = 0;
    for (const { value, weight } of sorted) {
      sum += weight;
      if (sum >= share * total) return value;
    }
    return sorted.at(-1)?.value ?? 0;
  };
  return { value: shape(at(0.5)), low: shape(at(0.05)), high: shape(at(0.95)) };
};
