/**
 * The alarm state machine as one table: state and event give the next state and what it is called.
 * After ANSI/ISA-18.2 figure 3 and IEC 62682 (alarm state transition diagram), as summarised in public
 * copies of the diagram; the standard itself was not read. Pure: no I/O, no clock.
 *
 * Shelved, suppressed and out of service hide the alarm while its condition is still followed; on the way
 * out the condition decides whether the alarm comes back normal or unacknowledged. A latched alarm is one
 * whose return waits for a person: every alarm here that has not been acknowledged waits in
 * returned-unacknowledged.
 */
import type { AlarmState, AlarmTransition } from './alarm.ts';

export const alarmEvents = [
  'condition-begins',
  'condition-ends',
  'acknowledge',
  'shelve',
  'unshelve',
  'suppress',
  'unsuppress',
  'remove-from-service',
  'return-to-service',
] as const;

export type AlarmEvent = (typeof alarmEvents)[number];

export type AlarmStep = {
  readonly state: AlarmState;
  /** Null where the event is noted but nothing is told to anybody. */
  readonly transition: AlarmTransition | null;
};

type Row = Readonly<Partial<Record<AlarmEvent, AlarmStep>>>;

const hide = {
  shelve: { state: 'shelved', transition: 'shelved' },
  suppress: { state: 'suppressed', transition: 'suppressed' },
  'remove-from-service': { state: 'out-of-service', transition: 'removed-from-service' },
} as const satisfies Row;

const stay = (state: AlarmState): Row => ({
  'condition-begins': { state, transition: null },
  'condition-ends': { state, transition: null },
});

/** What each state makes of each event while the condition does not hold; see `whileHolding`. */
const table: Readonly<Record<AlarmState, Row>> = {
  normal: {
    ...hide,
    'condition-begins': { state: 'unacknowledged', transition: 'raised' },
  },
  unacknowledged: {
    ...hide,
    acknowledge: { state: 'acknowledged', transition: 'acknowledged' },
    'condition-ends': { state: 'returned-unacknowledged', transition: 'returned' },
  },
  acknowledged: {
    ...hide,
    'condition-ends': { state: 'normal', transition: 'returned' },
  },
  'returned-unacknowledged': {
    ...hide,
    acknowledge: { state: 'normal', transition: 'acknowledged' },
    'condition-begins': { state: 'unacknowledged', transition: 'raised' },
  },
  shelved: {
    ...stay('shelved'),
    suppress: hide.suppress,
    'remove-from-service': hide['remove-from-service'],
    shelve: hide.shelve,
    unshelve: { state: 'normal', transition: 'unshelved' },
  },
  suppressed: {
    ...stay('suppressed'),
    'remove-from-service': hide['remove-from-service'],
    unsuppress: { state: 'normal', transition: 'unsuppressed' },
  },
  'out-of-service': {
    ...stay('out-of-service'),
    'return-to-service': { state: 'normal', transition: 'returned-to-service' },
  },
};

/** Leaving a hidden state while the condition holds brings the alarm back unacknowledged. */
const whileHolding = new Set<AlarmEvent>(['unshelve', 'unsuppress', 'return-to-service']);

/** The next state, or null where the event is not possible in this state. */
export const nextAlarmState = (
  state: AlarmState,
  event: AlarmEvent,
  conditionHolds: boolean,
): AlarmStep | null => {
  const step = table[state][event];
  if (step === undefined) return null;
  return conditionHolds && whileHolding.has(event) ? { ...step, state: 'unacknowledged' } : step;
};
