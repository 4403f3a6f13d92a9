/**
 * Goes on with a watch whose state was kept. Where the shape of the state has changed since, what the detectors
 * remember would be misread and is begun afresh; the alarms go on, since people have been told of them.
 * Pure: no I/O, no clock.
 */
import type { AlarmEntry, Board } from './alarms/alarm-entry.ts';
import { emptyCourse } from './alarms/condition-course.ts';
import { latches } from './alarms/latching.ts';
import { restoredAlarm } from './alarms/restored-alarm.ts';
import { beginWatch, type WatchState } from './watch-state.ts';
import type { Watched } from './watched.ts';

export const resumeWatch = (
  kept: WatchState | undefined,
  watched: Watched,
  now: number,
): WatchState => {
  const begun = beginWatch(watched, now);
  if (kept === undefined) return begun;
  const board = restoredBoard(kept.board);
  // The batch of the kept state stays, so that its leaving is still noticed.
  return kept.version === begun.version
    ? { ...kept, board }
    : { ...begun, batch: kept.batch, stage: kept.stage, board };
};

const restoredBoard = (board: Board): Board =>
  Object.fromEntries(Object.entries(board).map(([name, entry]) => [name, restoredEntry(entry)]));

const restoredEntry = (kept: AlarmEntry): AlarmEntry => ({
  ...kept,
  alarm: restoredAlarm(kept.alarm),
  latched: kept.latched ?? (kept.holds && latches(kept.alarm.kind)),
  course: kept.course ?? emptyCourse(kept.holds),
  turnsTold: kept.turnsTold ?? 0,
  clockedAt: kept.clockedAt ?? Number.MIN_SAFE_INTEGER,
  onsets: kept.onsets ?? [],
});
