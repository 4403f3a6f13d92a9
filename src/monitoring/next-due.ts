/** The next moment at which the clock alone changes something. Pure: no I/O, no clock. */
import { boardDue } from './alarm-lapse.ts';
import { whyNot } from './applies.ts';
import { devicesOf } from './silent-sensor.ts';
import { stageDue } from './stages/stage-watch.ts';
import type { WatchState } from './watch-state.ts';
import type { Watched } from './watched.ts';

/** Unix seconds, not before `now`; null if nothing is due. */
export const nextDue = (watched: Watched, state: WatchState, now: number): number | null => {
  const due = [...stageDue(watched, state, now)];
  const onBoard = boardDue(state.board);
  if (onBoard !== null) due.push(onBoard);
  if (whyNot('silent-sensor', watched) === null) {
    for (const { channels, from } of devicesOf(watched, state.channels)) {
      if (!state.board[`silent-sensor:${channels[0] ?? ''}`]?.holds) due.push(from);
    }
  }
  return due.length === 0 ? null : Math.max(now, Math.min(...due));
};
