/**
 * Sends one event through the alarm machine's table and brings the record and what is remembered beside it into line
 * with the state that comes out. Pure: no I/O, no clock.
 */
import type { Alarm, AlarmChange } from './alarm.ts';
import { type AlarmEntry, type Board, conditionOf } from './alarm-entry.ts';
import { type AlarmEvent, nextAlarmState } from './alarm-machine.ts';
import { isSetAside } from './alarm-standing.ts';

export type BoardStep = { readonly board: Board; readonly changes: readonly AlarmChange[] };

/** When, by whom (null: the process) and in what words. */
export type Told = {
  readonly at: number;
  readonly by: string | null;
  readonly note: string | null;
};

/** Told of the process itself, with why where that is not plain. */
export const byProcess = (now: number, why: string | null): Told => ({
  at: now,
  by: null,
  note: why,
});

/** `entry` already says how the condition stands after the event. Null where the event is not possible. */
export const takeEvent = (
  board: Board,
  name: string,
  entry: AlarmEntry,
  event: AlarmEvent,
  told: Told,
  amend: (alarm: Alarm) => Alarm = (alarm) => alarm,
): BoardStep | null => {
  const step = nextAlarmState(entry.alarm.state, event, conditionOf(entry));
  if (step === null) return null;
  const alarm = inLine({ ...amend(entry.alarm), state: step.state });
  const stepped = putEntry(board, name, { ...entry, alarm });
  if (step.transition === null) return stepped;
  return { ...stepped, changes: [{ transition: step.transition, ...told, alarm }] };
};

export const putEntry = (
  board: Board,
  name: string,
  entry: AlarmEntry,
  changes: readonly AlarmChange[] = [],
): BoardStep => ({ board: { ...board, [name]: entry }, changes });

/** What belongs to one state only is let go with it. */
const inLine = (alarm: Alarm): Alarm => ({
  ...alarm,
  reAlarmAt: alarm.state === 'acknowledged' ? alarm.reAlarmAt : null,
  shelvedUntil: alarm.state === 'shelved' ? alarm.shelvedUntil : null,
  setAside: isSetAside(alarm.state) ? alarm.setAside : null,
});
