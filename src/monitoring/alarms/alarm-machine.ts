/**
 * The alarm state machine as one table: state and event give the next state and what the step is called.
 * After the alarm state transition diagram of ANSI/ISA-18.2 and IEC 62682; the standards themselves were not read.
 * Seen in a public copy of the diagram: the unlatched states and the ways into the three that set an alarm aside.
 * Seen in OPC 10000-9 (5.8.5): a latched alarm is reset only after it has returned and has been acknowledged.
 * From memory: acknowledging a returned alarm ends it, and a condition that begins again raises it again.
 * Chosen by us: on the way out of a state that sets aside, the condition decides, and an acknowledgement given
 * before does not count. Pure: no I/O, no clock.
 */
import type { AlarmState, AlarmTransition } from './alarm.ts';

export const alarmEvents = [
  'condition-begins',
  'condition-ends',
  'worsen',
  're-alarm',
  'acknowledge',
  'reset',
  'shelve',
  'unshelve',
  'suppress',
  'unsuppress',
  'remove-from-service',
  'return-to-service',
] as const;

export type AlarmEvent = (typeof alarmEvents)[number];

/**
 * How things stand once the event has happened. holds: the condition holds. latched: it is over, and the alarm
 * is of a kind that waits for a reset. clear: it is over.
 */
export const conditions = ['holds', 'latched', 'clear'] as const;

export type Condition = (typeof conditions)[number];

export type AlarmStep = {
  readonly state: AlarmState;
  /** Null where the event is noted but nothing is told to anybody. */
  readonly transition: AlarmTransition | null;
};

/** One step whatever the condition, or one for each condition that can be. */
export type AlarmCell = AlarmStep | Readonly<Partial<Record<Condition, AlarmStep>>>;

type Row = Readonly<Partial<Record<AlarmEvent, AlarmCell>>>;

const raise = { 'condition-begins': { state: 'unacknowledged', transition: 'raised' } } as const;

/** The ways to set an alarm aside: by a person for a time, by design, by a person until put back. */
const setAside = {
  shelve: { state: 'shelved', transition: 'shelved' },
  suppress: { state: 'suppressed', transition: 'suppressed' },
  'remove-from-service': { state: 'out-of-service', transition: 'removed-from-service' },
} as const satisfies Row;

const worsen = { worsen: { state: 'unacknowledged', transition: 'worsened' } } as const;

/** While an alarm is set aside its condition is followed in silence. */
const followed = <State extends AlarmState>(state: State) =>
  ({
    'condition-begins': { state, transition: null },
    'condition-ends': { state, transition: null },
    worsen: { state, transition: null },
  }) as const;

const brought = <Transition extends AlarmTransition>(transition: Transition) =>
  ({
    holds: { state: 'unacknowledged', transition },
    latched: { state: 'latched-unacknowledged', transition },
    clear: { state: 'normal', transition },
  }) as const;

/** What is not in the table is not possible, and changes nothing. */
export const alarmTable: Readonly<Record<AlarmState, Row>> = {
  normal: { ...raise, ...setAside },
  unacknowledged: {
    'condition-ends': {
      latched: { state: 'latched-unacknowledged', transition: 'latched' },
      clear: { state: 'returned-unacknowledged', transition: 'returned' },
    },
    ...worsen,
    acknowledge: { state: 'acknowledged', transition: 'acknowledged' },
    ...setAside,
  },
  acknowledged: {
    'condition-ends': {
      latched: { state: 'latched-acknowledged', transition: 'latched' },
      clear: { state: 'normal', transition: 'returned' },
    },
    ...worsen,
    're-alarm': { state: 'unacknowledged', transition: 're-alarmed' },
    ...setAside,
  },
  'returned-unacknowledged': {
    ...raise,
    acknowledge: { state: 'normal', transition: 'acknowledged' },
    ...setAside,
  },
  'latched-unacknowledged': {
    ...raise,
    acknowledge: { state: 'latched-acknowledged', transition: 'acknowledged' },
    ...setAside,
  },
  'latched-acknowledged': {
    ...raise,
    reset: { state: 'normal', transition: 'reset' },
    ...setAside,
  },
  shelved: {
    ...followed('shelved'),
    unshelve: brought('unshelved'),
    ...setAside,
  },
  suppressed: {
    ...followed('suppressed'),
    unsuppress: brought('unsuppressed'),
    'remove-from-service': setAside['remove-from-service'],
  },
  'out-of-service': {
    ...followed('out-of-service'),
    'return-to-service': brought('returned-to-service'),
  },
};

/** The next step, or null where the event is not possible in this state. */
export const nextAlarmState = (
  state: AlarmState,
  event: AlarmEvent,
  condition: Condition,
): AlarmStep | null => {
  const cell = alarmTable[state][event];
  if (cell === undefined) return null;
  return 'state' in cell ? cell : (cell[condition] ?? null);
};
