/** The next moment at which the clock alone changes something. Pure: no I/O, no clock. */
import { boardDue } from './alarms/alarm-lapse.ts';
import { whyNot } from './applies.ts';
import { usualGap } from './course/channel-memory.ts';
import { chronicleChannels, closesAt } from './course/chronicle.ts';
import { devicesOf } from './sensors/silent-sensor.ts';
import { stageDue } from './stages/stage-watch.ts';
import type { WatchState } from './watch-state.ts';
import type { Watched } from './watched.ts';

/** A sensor this quick closes a bucket by its next reading, and the clock waits for that: one an hour, and a little. */
const quickSeconds = 4000;

/**
 * Chosen by us: a wake-up costs rows written, and is in vain while readings come. Less costs more of them; more delays
 * what the last readings before a silence tell.
 */
const patienceSeconds = 5400;

const patience = ({ channels }: WatchState): number =>
  chronicleChannels.some((channel) => {
    const memory = channels[channel];
    const gap = memory === undefined ? null : usualGap(memory);
    return gap !== null && gap <= quickSeconds;
  })
    ? patienceSeconds
    : 0;

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
  const closes = closesAt(state.chronicle);
  if (closes !== null && watched.batch !== null) due.push(closes + patience(state));
  return due.length === 0 ? null : Math.max(now, Math.min(...due));
};
