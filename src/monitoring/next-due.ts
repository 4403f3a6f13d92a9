/** The next moment at which silence alone changes something. Pure: no I/O, no clock. */
import { whyNot } from './applies.ts';
import { devicesOf } from './silent-sensor.ts';
import type { WatchState } from './watch-state.ts';
import type { Watched } from './watched.ts';

/** Unix seconds, not before `now`; null if nothing is due. */
export const nextDue = (watched: Watched, state: WatchState, now: number): number | null => {
  const due: number[] = [];
  for (const { alarm, turnsAt } of Object.values(state.board)) {
    if (turnsAt !== null && whyNot(alarm.kind, watched) === null) due.push(turnsAt);
    if (alarm.state === 'shelved' && alarm.shelvedUntil !== null) due.push(alarm.shelvedUntil);
  }
  if (whyNot('silent-sensor', watched) === null) {
    for (const { channels, from } of devicesOf(watched, state.channels)) {
      if (!state.board[`silent-sensor:${channels[0] ?? ''}`]?.holds) due.push(from);
    }
  }
  return due.length === 0 ? null : Math.max(now, Math.min(...due));
};
