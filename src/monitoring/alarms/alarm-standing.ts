/** Where an alarm is in its life, as people see it. Pure: no I/O, no clock. */
import type { AlarmState } from './alarm.ts';

const setAside: ReadonlySet<AlarmState> = new Set(['shelved', 'suppressed', 'out-of-service']);

/** Shelved, suppressed or out of service: followed in silence. */
export const isSetAside = (state: AlarmState): boolean => setAside.has(state);

/** Standing before people. */
export const isShown = (state: AlarmState): boolean => state !== 'normal' && !isSetAside(state);

/** Waiting for a person: for an acknowledgement, or for the reset of a latched alarm. */
export const asks = (state: AlarmState): boolean => isShown(state) && state !== 'acknowledged';

/** Whether what was seen still counts as going on: it holds, or a person has yet to see that it is over. */
export const isActive = (state: AlarmState): boolean =>
  isShown(state) && state !== 'returned-unacknowledged';
