/** The median, which one wild reading cannot move. Pure. */

/** Zero for an empty list: callers ask only where there is something. */
export const median = (values: readonly number[]): number => {
  const sorted = [...values].sort((a, b) => a - b);
  const upper = sorted[Math.floor(sorted.length / 2)] ?? 0;
  return ((sorted[Math.floor((sorted.length - 1) / 2)] ?? upper) + upper) / 2;
};
