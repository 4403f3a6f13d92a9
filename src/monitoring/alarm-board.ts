/**
 * The alarms of one vessel: turns findings into alarms through on-delay, off-delay and the state machine,
 * and returns every change. A board is plain JSON with at most one entry per alarm name.
 * Pure: no I/O, no clock, no randomness.
 */
import type { Alarm, AlarmChange, Priority } from './alarm.ts';
import { type AlarmEvent, nextAlarmState } from './alarm-machine.ts';
import { alarmName, type Finding, type FindingWords } from './finding.ts';

export type Standing = {
  readonly alarm: Alarm;
  /** Whether the condition holds, delays included; also followed while the alarm is hidden. */
  readonly holds: boolean;
  /** Unix seconds since which the findings have disagreed with `holds`; null while they agree. */
  readonly differsSince: number | null;
  /** Unix seconds at which the delay is over and `holds` turns, if nothing is heard before. */
  readonly turnsAt: number | null;
  /** What the finding that waits for its delay had to say; null while none waits. */
  readonly waiting: Waiting | null;
};

type Waiting = {
  readonly words: FindingWords;
  readonly priority: Priority;
  readonly batch: string | null;
};

export type Board = Readonly<Record<string, Standing>>;

export type BoardStep = { readonly board: Board; readonly changes: readonly AlarmChange[] };

/** Takes one finding. `now` stamps the changes, the finding's own time runs the delays. */
export const settle = (
  board: Board,
  finding: Finding,
  batch: string | null,
  now: number,
): BoardStep => {
  const name = alarmName(finding);
  const known = board[name];
  const holds = known?.holds ?? false;
  const disagrees = holds ? finding.condition === 'clear' : finding.condition === 'holds';
  if (!disagrees) {
    return known === undefined || known.differsSince === null
      ? { board, changes: [] }
      : put(board, name, { ...known, ...agreed });
  }
  const since = known?.differsSince ?? finding.at;
  const turnsAt = since + (holds ? finding.offDelaySeconds : finding.onDelaySeconds);
  const entry: Standing = {
    ...(known ?? untold(finding, name, batch, now)),
    differsSince: since,
    turnsAt,
    waiting: { words: finding.words(), priority: finding.priority, batch },
  };
  return finding.at < turnsAt ? put(board, name, entry) : turned(board, name, entry, now);
};

/** Ends one alarm's condition for a reason that lies outside the readings, such as a batch that has left. */
export const ended = (board: Board, name: string, why: string, now: number): BoardStep => {
  const entry = board[name];
  if (entry === undefined) return { board, changes: [] };
  const calm: Standing = { ...entry, ...agreed, holds: false };
  if (!entry.holds) return put(board, name, calm);
  return happen(board, name, calm, 'condition-ends', { at: now, by: null }, (alarm) => ({
    ...alarm,
    evidence: `${alarm.evidence} Returned: ${why}.`,
    returnedAt: now,
  }));
};

/** Lets the clock run: what waits and is not contradicted turns when its delay is over. */
export const lapse = (board: Board, now: number): BoardStep => {
  let step: BoardStep = { board, changes: [] };
  for (const [name, entry] of Object.entries(board)) {
    if (entry.turnsAt === null || entry.turnsAt > now) continue;
    const next = turned(step.board, name, entry, now);
    step = { board: next.board, changes: [...step.changes, ...next.changes] };
  }
  return step;
};

const turned = (board: Board, name: string, entry: Standing, now: number): BoardStep => {
  const { waiting, holds } = entry;
  return happen(
    board,
    name,
    { ...entry, ...agreed, holds: !holds },
    holds ? 'condition-ends' : 'condition-begins',
    { at: now, by: null },
    (alarm) => {
      if (waiting === null) return alarm;
      return holds ? returning(alarm, waiting, now) : raising(alarm, waiting, now);
    },
  );
};

const agreed = { differsSince: null, turnsAt: null, waiting: null } as const;

/** Sends an event to one alarm; null where the alarm is unknown or the event is not possible. */
export const send = (
  board: Board,
  name: string,
  event: AlarmEvent,
  told: { readonly at: number; readonly by: string | null },
  amend: (alarm: Alarm) => Alarm,
): BoardStep | null => {
  const entry = board[name];
  if (entry === undefined) return null;
  if (nextAlarmState(entry.alarm.state, event, entry.holds) === null) return null;
  return happen(board, name, entry, event, told, amend);
};

const happen = (
  board: Board,
  name: string,
  entry: Standing,
  event: AlarmEvent,
  told: { readonly at: number; readonly by: string | null },
  amend: (alarm: Alarm) => Alarm,
): BoardStep => {
  const step = nextAlarmState(entry.alarm.state, event, entry.holds);
  if (step === null) return put(board, name, entry);
  const alarm = { ...amend(entry.alarm), state: step.state };
  const stepped = put(board, name, { ...entry, alarm });
  if (step.transition === null) return stepped;
  return { ...stepped, changes: [{ transition: step.transition, ...told, alarm }] };
};

const put = (board: Board, name: string, entry: Standing): BoardStep => ({
  board: { ...board, [name]: entry },
  changes: [],
});

const untold = (finding: Finding, name: string, batch: string | null, now: number): Standing => ({
  alarm: {
    alarm: name,
    kind: finding.kind,
    channel: finding.channel,
    batch,
    priority: finding.priority,
    state: 'normal',
    occurrence: 0,
    raisedAt: now,
    returnedAt: null,
    acknowledgedAt: null,
    acknowledgedBy: null,
    note: null,
    shelvedUntil: null,
    evidence: '',
    likelyCauses: [],
    checkFirst: [],
    caution: null,
  },
  holds: false,
  ...agreed,
});

const raising = (alarm: Alarm, { words, priority, batch }: Waiting, now: number): Alarm => ({
  ...alarm,
  ...words,
  batch,
  priority,
  occurrence: alarm.occurrence + 1,
  raisedAt: now,
  returnedAt: null,
  acknowledgedAt: null,
  acknowledgedBy: null,
  note: null,
});

const returning = (alarm: Alarm, { words }: Waiting, now: number): Alarm => ({
  ...alarm,
  evidence: `${alarm.evidence} Returned: ${words.evidence}`,
  returnedAt: now,
});
