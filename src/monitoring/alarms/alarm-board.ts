/**
 * The alarms of one vessel: turns findings into alarms through deadband, on-delay, off-delay and the state machine,
 * and returns every change. What the clock alone does is in alarm-lapse.ts. A board is plain JSON with at most one
 * entry per alarm name. Pure: no I/O, no clock, no randomness.
 */

import { latenessSeconds } from '../course/chronicle.ts';
import { alarmName, type Finding } from '../finding.ts';
import type { Alarm } from './alarm.ts';
import {
  type AlarmEntry,
  type Board,
  freshCourse,
  nothingWaits,
  untoldEntry,
  type WaitingFinding,
} from './alarm-entry.ts';
import type { AlarmEvent } from './alarm-machine.ts';
import { chatterHoldSeconds } from './chattering.ts';
import { replayed, type Seen, type Turn, turnsByClockAt, withReading } from './condition-course.ts';
import { type BoardStep, byProcess, putEntry, type Told, takeEvent } from './take-event.ts';
import { conditionOver, turned } from './turn-condition.ts';

export type { Board } from './alarm-entry.ts';
export type { BoardStep } from './take-event.ts';

/** How often a condition that goes on is put into words again. Chosen by us: a bucket of the chronicle. */
const lookAgainSeconds = 1800;

const rank = { low: 0, medium: 1, high: 2 } as const;

/**
 * Takes one finding about the present moment, such as that of a detector that looks back over hours. `now` stamps
 * the changes, the finding's own time runs the delays.
 */
export const settle = (
  board: Board,
  finding: Finding,
  batch: string | null,
  now: number,
): BoardStep => {
  const name = alarmName(finding);
  const known = board[name];
  const holds = known?.holds ?? false;
  if (finding.condition !== (holds ? 'clear' : 'holds'))
    return known === undefined ? { board, changes: [] } : goingOn(board, name, known, finding, now);
  const entry = known ?? untoldEntry(finding, name, batch, now);
  const since = entry.differsSince ?? finding.at;
  const delay = holds
    ? Math.max(finding.offDelaySeconds, heldSeconds(entry))
    : finding.onDelaySeconds;
  const waits: AlarmEntry = {
    ...entry,
    ...freshCourse(holds),
    differsSince: since,
    turnsAt: since + delay,
    waiting: waitingOf(finding, batch),
  };
  return finding.at < since + delay
    ? putEntry(board, name, waits)
    : turned(board, name, waits, now);
};

/**
 * Takes what one reading says by itself. Readings may come late and in any order: whether the condition holds is told
 * from the readings alone, by their times of measurement. Where a late reading shows that it was told wrongly, the
 * alarm returns or is raised then; nothing that was told is undone.
 */
export const settleReading = (
  board: Board,
  finding: Finding,
  batch: string | null,
  now: number,
): BoardStep => {
  const name = alarmName(finding);
  const known = board[name] ?? untoldEntry(finding, name, batch, now);
  const held = heldSeconds(known);
  const delay = finding.condition === 'holds' ? finding.onDelaySeconds : finding.offDelaySeconds;
  // Where a person is to act at once, nothing is waited for that may be under way.
  const patience = finding.priority === 'high' ? 0 : latenessSeconds;
  const seen: Seen = [finding.at, finding.condition, delay, patience];
  const taken = withReading(known.course, seen, held);
  if (taken === null) return { board, changes: [] };
  const { stood, turns } = replayed(taken.course, held, Math.max(now, known.clockedAt));
  let step = putEntry(board, name, { ...known, course: taken.course });
  const add = (next: BoardStep): void => {
    step = { board: next.board, changes: [...step.changes, ...next.changes] };
  };
  const present = (): AlarmEntry => step.board[name] ?? known;
  for (const { holds, since } of yetToTell(turns, known, taken.settled)) {
    const entry = present();
    const speaks = finding.condition === (holds ? 'holds' : 'clear');
    const waits = {
      ...entry,
      differsSince: since,
      waiting: speaks ? waitingOf(finding, batch) : entry.waiting,
    };
    add(turned(step.board, name, waits, now));
  }
  step = putEntry(step.board, name, { ...present(), turnsTold: turns.length }, step.changes);
  if (stood.since === null) {
    add(goingOn(step.board, name, present(), finding, now));
    return step;
  }
  const { waiting } = present();
  const isNewest = finding.at === taken.course.seen.at(-1)?.[0];
  const waits: AlarmEntry = {
    ...present(),
    differsSince: stood.since,
    turnsAt: turnsByClockAt(stood, held),
    waiting: isNewest || waiting === null ? waitingOf(finding, batch) : waiting,
  };
  return putEntry(step.board, name, waits, step.changes);
};

/** The turns that have yet to be told; one more where what was told turns out not to have been so. */
const yetToTell = (
  turns: readonly Turn[],
  { holds, turnsTold }: AlarmEntry,
  settled: number,
): readonly Turn[] => {
  const told = Math.max(0, turnsTold - settled);
  if (turns.length >= told) return turns.slice(told);
  return (told - turns.length) % 2 === 0 ? [] : [{ holds: !holds, since: null }];
};

/** Ends one alarm's condition for a reason that lies outside the readings, such as a batch that has left. */
export const ended = (board: Board, name: string, why: string, now: number): BoardStep => {
  const entry = board[name];
  if (entry === undefined) return { board, changes: [] };
  const calm: AlarmEntry = {
    ...entry,
    ...nothingWaits,
    ...freshCourse(false),
    onsets: [],
    holds: false,
  };
  if (!entry.holds) return putEntry(board, name, calm);
  return conditionOver(board, name, calm, now, `Returned: ${why}.`);
};

/** Forgets what waits for a delay, where the alarm does not apply. */
export const unheeded = (board: Board, name: string): BoardStep => {
  const entry = board[name];
  return entry === undefined || entry.differsSince === null
    ? { board, changes: [] }
    : putEntry(board, name, { ...entry, ...nothingWaits, ...freshCourse(entry.holds) });
};

/** Sends an event to one alarm; null where the alarm is unknown or the event is not possible. */
export const send = (
  board: Board,
  name: string,
  event: AlarmEvent,
  told: Told,
  amend: (alarm: Alarm) => Alarm,
): BoardStep | null => {
  const entry = board[name];
  if (entry === undefined) return null;
  const after = event === 'reset' ? { ...entry, latched: false } : entry;
  return takeEvent(board, name, after, event, told, amend);
};

/** The finding agrees with how the alarm stands, or lies in its deadband: nothing waits. */
const goingOn = (
  board: Board,
  name: string,
  before: AlarmEntry,
  finding: Finding,
  now: number,
): BoardStep => {
  const entry: AlarmEntry = before.differsSince === null ? before : { ...before, ...nothingWaits };
  if (!entry.holds || finding.condition !== 'holds')
    return entry === board[name] ? { board, changes: [] } : putEntry(board, name, entry);
  const { alarm } = entry;
  const worse = rank[finding.priority] > rank[alarm.priority];
  if (!worse && finding.at - (alarm.latest?.at ?? alarm.raisedAt) < lookAgainSeconds)
    return putEntry(board, name, entry);
  const looked: AlarmEntry = {
    ...entry,
    alarm: { ...alarm, latest: { at: finding.at, evidence: finding.words().evidence } },
  };
  if (!worse) return putEntry(board, name, looked);
  const words = finding.words();
  return (
    takeEvent(board, name, looked, 'worsen', byProcess(now, null), (before_) => ({
      ...before_,
      ...words,
      source: words.source ?? null,
      evidence: before_.evidence,
      priority: finding.priority,
    })) ?? putEntry(board, name, looked)
  );
};

const waitingOf = (finding: Finding, batch: string | null): WaitingFinding => ({
  words: finding.words(),
  priority: finding.priority,
  batch,
});

/** A chattering alarm is held for so long. */
const heldSeconds = ({ alarm }: AlarmEntry): number => (alarm.chattering ? chatterHoldSeconds : 0);
