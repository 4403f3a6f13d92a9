/**
 * What the clock alone does to the alarms of a vessel: delays end, shelves end, and acknowledged alarms that still
 * stand ask again. Pure: no I/O, no clock.
 */
import type { AlarmEntry, Board } from './alarm-entry.ts';
import { type BoardStep, byProcess, takeEvent } from './take-event.ts';
import { turned } from './turn-condition.ts';

/** Lets the clock run: what falls due by `now` happens, each alarm's in order of time. */
export const lapse = (board: Board, now: number): BoardStep => {
  let step: BoardStep = { board, changes: [] };
  for (const name of Object.keys(board)) {
    for (;;) {
      const entry = step.board[name];
      const next = entry === undefined ? null : firstDue(entry);
      if (entry === undefined || next === null || next.at > now) break;
      const taken =
        next.what === 'turn'
          ? turned(step.board, name, { ...entry, clockedAt: Math.max(now, entry.clockedAt) }, now)
          : takeEvent(step.board, name, entry, next.what, byProcess(now, next.why));
      if (taken === null) break;
      step = { board: taken.board, changes: [...step.changes, ...taken.changes] };
    }
  }
  return step;
};

/** Unix seconds at which something happens on the board by the clock alone; null if nothing does. */
export const boardDue = (board: Board): number | null => {
  const due = Object.values(board).flatMap((entry) => firstDue(entry)?.at ?? []);
  return due.length === 0 ? null : Math.min(...due);
};

type Due = {
  readonly at: number;
  readonly what: 'turn' | 'unshelve' | 're-alarm';
  readonly why: string;
};

const firstDue = ({ alarm, holds, turnsAt }: AlarmEntry): Due | null => {
  const due: Due[] = [];
  if (turnsAt !== null) due.push({ at: turnsAt, what: 'turn', why: '' });
  if (alarm.state === 'shelved' && alarm.shelvedUntil !== null)
    due.push({ at: alarm.shelvedUntil, what: 'unshelve', why: 'its time on the shelf is over' });
  if (alarm.state === 'acknowledged' && alarm.reAlarmAt !== null && holds)
    due.push({ at: alarm.reAlarmAt, what: 're-alarm', why: 'acknowledged, and it still stands' });
  return due.length === 0 ? null : due.reduce((a, b) => (b.at < a.at ? b : a));
};
