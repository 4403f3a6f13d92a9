/**
 * When an acknowledged alarm that still stands asks again. The person who acknowledges may choose a time; without
 * one the priority decides. Pure: no I/O, no clock.
 */
import type { Priority } from './alarm.ts';

/**
 * Chosen by us, from what each priority asks of a person. high, act at once: after an hour somebody should be
 * there. medium, see to it today: the same time tomorrow is too late. low, at the next visit: a week without one
 * is long. Shorter nags people who are at work on it; longer forgets.
 */
export const usualReAlarmSeconds = {
  high: 3600,
  medium: 86_400,
  low: 7 * 86_400,
} as const satisfies Record<Priority, number>;

/** Bounds for a person's own choice. Chosen by us: sooner is no acknowledgement, later is forgetting. */
export const shortestReAlarmSeconds = 900;
export const longestReAlarmSeconds = {
  high: 8 * 3600,
  medium: 7 * 86_400,
  low: 30 * 86_400,
} as const satisfies Record<Priority, number>;
