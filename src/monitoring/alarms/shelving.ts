/** How long an alarm may be shelved. Pure: no I/O, no clock. */
import type { Priority } from './alarm.ts';

/**
 * The longest a shelf may last, by priority. Chosen by us: shelving is for a known nuisance during a
 * shift or a repair; where a person can be hurt it must come back within the working day.
 */
export const longestShelfSeconds = {
  high: 8 * 3600,
  medium: 3 * 86_400,
  low: 14 * 86_400,
} as const satisfies Record<Priority, number>;
