/**
 * The alarms of one vessel: turns findings into alarms through deadband, on-delay, off-delay and the state machine,
 * lets shelves end and acknowledged alarms ask again, and returns every change. A board is plain JSON with at most
 * one entry per alarm name. Pure: no I/O, no clock, no randomness.
 */
import type { Alarm } from './alarm.ts';
import {
  type AlarmEntry,
  type Board,
  nothingWaits,
  untoldEntry,
  type WaitingFinding,
} from './alarm-entry.ts';
import type { AlarmEvent } from './alarm-machine.ts';
import { chatterHoldSeconds, isChatter, withOnset } from './chattering.ts';
import { type DelayRun, delayRun, withSeen } from './delay-run.ts';
import { alarmName, type Finding } from './finding.ts';
import { latches } from './latching.ts';
import { type BoardStep, putEntry, type Told, takeEvent } from './take-event.ts';

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
  return waiting(board, name, known ?? untoldEntry(finding, name, batch, now), {
    since: known?.differsSince ?? finding.at,
    delaySeconds: holds ? finding.offDelaySeconds : finding.onDelaySeconds,
    until: finding.at,
    found: { words: finding.words(), priority: finding.priority, batch },
    now,
  });
};

/**
 * Takes what one reading says by itself. Readings may come late and in any order: one that is older than the newest
 * takes its place among them, and may lengthen or break the run that a delay counts. It undoes nothing that was told.
 */
export const settleReading = (
  board: Board,
  finding: Finding,
  batch: string | null,
  now: number,
): BoardStep => {
  const name = alarmName(finding);
  const known = board[name] ?? untoldEntry(finding, name, batch, now);
  const delay = finding.condition === 'holds' ? finding.onDelaySeconds : finding.offDelaySeconds;
  const seen = withSeen(known.seen, [finding.at, finding.condition, delay]);
  if (seen === null) return { board, changes: [] };
  const entry = { ...known, seen };
  const newestAt = seen.at(-1)?.[0] ?? finding.at;
  const run = delayRun(seen, entry.holds, entry.differsSince);
  if (run === null) return goingOn(board, name, entry, finding, now);
  const isNewest = finding.at === newestAt;
  return waiting(board, name, entry, {
    ...run,
    until: newestAt,
    found:
      isNewest || entry.waiting === null
        ? { words: finding.words(), priority: finding.priority, batch }
        : entry.waiting,
    now,
  });
};

/** Ends one alarm's condition for a reason that lies outside the readings, such as a batch that has left. */
export const ended = (board: Board, name: string, why: string, now: number): BoardStep => {
  const entry = board[name];
  if (entry === undefined) return { board, changes: [] };
  const calm: AlarmEntry = { ...entry, ...nothingWaits, seen: [], onsets: [], holds: false };
  if (!entry.holds) return putEntry(board, name, calm);
  return conditionTurned(board, name, calm, now, `Returned: ${why}.`);
};

/** Forgets what waits for a delay, where the alarm does not apply. */
export const unheeded = (board: Board, name: string): BoardStep => {
  const entry = board[name];
  return entry === undefined || entry.differsSince === null
    ? { board, changes: [] }
    : putEntry(board, name, { ...entry, ...nothingWaits, seen: [] });
};

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
          ? turned(step.board, name, entry, now)
          : takeEvent(step.board, name, entry, next.what, process(now, next.why));
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
    takeEvent(board, name, looked, 'worsen', process(now, null), (before_) => ({
      ...before_,
      ...words,
      source: words.source ?? null,
      evidence: before_.evidence,
      priority: finding.priority,
    })) ?? putEntry(board, name, looked)
  );
};

type Waits = DelayRun & {
  /** Unix seconds of the newest finding. */
  readonly until: number;
  readonly found: WaitingFinding;
  readonly now: number;
};

const waiting = (board: Board, name: string, before: AlarmEntry, waits: Waits): BoardStep => {
  const hold = before.holds && before.alarm.chattering ? chatterHoldSeconds : 0;
  const turnsAt = waits.since + Math.max(waits.delaySeconds, hold);
  const entry: AlarmEntry = {
    ...before,
    differsSince: waits.since,
    turnsAt,
    waiting: waits.found,
  };
  return waits.until < turnsAt
    ? putEntry(board, name, entry)
    : turned(board, name, entry, waits.now);
};

const turned = (board: Board, name: string, entry: AlarmEntry, now: number): BoardStep => {
  const { waiting: found, holds, alarm } = entry;
  // What lies before the run that turned it belongs to how the alarm stood before.
  const since = entry.differsSince ?? now;
  const seen = entry.seen.filter(([at]) => at >= since);
  const after: AlarmEntry = { ...entry, ...nothingWaits, seen, holds: !holds };
  if (holds)
    return conditionTurned(board, name, after, now, found && `Returned: ${found.words.evidence}`);
  const onsets = withOnset(entry.onsets, since);
  const chattering = alarm.chattering || isChatter(onsets);
  const begun = { ...after, onsets, latched: latches(alarm.kind) };
  return (
    takeEvent(board, name, begun, 'condition-begins', process(now, null), (before) => ({
      ...before,
      ...found?.words,
      source: found?.words.source ?? null,
      batch: found?.batch ?? before.batch,
      priority: found?.priority ?? before.priority,
      occurrence: before.occurrence + 1,
      raisedAt: now,
      returnedAt: null,
      acknowledgedAt: null,
      acknowledgedBy: null,
      note: null,
      chattering,
      latest: null,
    })) ?? putEntry(board, name, begun)
  );
};

/** The condition is over; `entry` says so already. */
const conditionTurned = (
  board: Board,
  name: string,
  entry: AlarmEntry,
  now: number,
  words: string | null,
): BoardStep => {
  // A chattering alarm that was held and returned at last chatters no more.
  const calm = entry.alarm.chattering ? { ...entry, onsets: [] } : entry;
  return (
    takeEvent(board, name, calm, 'condition-ends', process(now, null), (alarm) => ({
      ...alarm,
      evidence: words === null ? alarm.evidence : `${alarm.evidence} ${words}`,
      returnedAt: now,
      chattering: false,
    })) ?? putEntry(board, name, calm)
  );
};

const process = (now: number, why: string | null): Told => ({ at: now, by: null, note: why });
