/**
 * A mark of what was measured by hand, kept to notice that a sample was added, corrected or taken out, whenever it
 * was taken. Pure: no I/O, no clock.
 */
import type { Batch } from '../batch.ts';

/** Null where no gravity was measured by hand. */
export const sampleMark = ({ samples = [] }: Batch): string | null => {
  const taken = samples.filter(({ gravity }) => gravity !== null);
  if (taken.length === 0) return null;
  const times = taken.reduce((sum, { time }) => sum + time, 0);
  const gravities = taken.reduce((sum, { gravity }) => sum + (gravity ?? 0), 0);
  return `${taken.length} ${times} ${gravities.toFixed(5)}`;
};
