/**
 * The alarms of one vessel: turns findings into alarms through on-delay, off-delay and the state machine,
 * and returns every change. A board is plain JSON with at most one entry per alarm name.
 * Pure: no I/O, no clock, no randomness.
 */
import type { Alarm, AlarmChange } from './alarm.ts';
import { type AlarmEvent, nextAlarmState } from './alarm-machine.ts';
import { alarmName, type Finding } from './finding.ts';

export type Standing = {
  readonly alarm: Alarm;
  /** Whether the condition holds, delays included; also followed while the alarm is hidden. */
  readonly holds: boolean;
  /** Unix seconds since which the findings have disagreed with `holds`; null while they agree. */
  readonly differsSince: number | null;
  /** Unix seconds at which the delay is over and `holds` turns, if nothing is heard before. */
  readonly turnsAt: number | null;
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
      : put(board, name, { ...known, differsSince: null, turnsAt: null });
  }
  const since = known?.differsSince ?? finding.at;
  const turnsAt = since + (holds ? finding.offDelaySeconds : finding.onDelaySeconds);
  const entry = known ?? untold(finding, name, batch, now);
  if (finding.at < turnsAt) {
    return put(board, name, { ...entry, differsSince: since, turnsAt });
  }
  const turned: Standing = { ...entry, holds: !holds, differsSince: null, turnsAt: null };
  return happen(
    board,
    name,
    turned,
    holds ? 'condition-ends' : 'condition-begins',
    { at: now, by: null },
    (alarm) => (holds ? returning(alarm, finding, now) : raising(alarm, finding, batch, now)),
  );
};

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
  differsSince: null,
  turnsAt: null,
});

const raising = (alarm: Alarm, finding: Finding, batch: string | null, now: number): Alarm => ({
  ...alarm,
  ...finding.words(),
  batch,
  priority: finding.priority,
  occurrence: alarm.occurrence + 1,
  raisedAt: now,
  returnedAt: null,
  acknowledgedAt: null,
  acknowledgedBy: null,
  note: null,
});

const returning = (alarm: Alarm, finding: Finding, now: number): Alarm => ({
  ...alarm,
  evidence: `${alarm.evidence} Returned: ${finding.words().evidence}`,
  returnedAt: now,
});
