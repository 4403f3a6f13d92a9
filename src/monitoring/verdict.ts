/** What a call to the watch gives back: the state to keep and what to tell. Pure data. */
import type { AlarmChange } from './alarms/alarm.ts';
import type { WatchState } from './watch-state.ts';
import type { Happening } from './watched.ts';

export type Verdict = {
  readonly state: WatchState;
  readonly changes: readonly AlarmChange[];
  readonly happenings: readonly Happening[];
};
