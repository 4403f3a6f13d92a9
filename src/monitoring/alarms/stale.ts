/** Stale alarms: those that have stood for so long that nobody sees them any more. Pure: no I/O, no clock. */
import type { Alarm } from './alarm.ts';
import { isActive } from './alarm-standing.ts';

/** More than a day, as ISA-18.2 and IEC 62682 are quoted with; from memory. */
const staleSeconds = 86_400;

/** Longest standing first. */
export const staleAlarms = <Standing extends Pick<Alarm, 'state' | 'raisedAt'>>(
  standing: readonly Standing[],
  now: number,
): readonly Standing[] =>
  standing
    .filter(({ state, raisedAt }) => isActive(state) && now - raisedAt > staleSeconds)
    .toSorted((one, other) => one.raisedAt - other.raisedAt);
