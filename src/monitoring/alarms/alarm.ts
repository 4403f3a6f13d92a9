/**
 * The alarm as a record: what a person sees, acknowledges and finds in the history.
 * States and words after IEC 62682 / ISA-18.2. Pure data: no I/O, no clock.
 */
import type { Channel } from '../../science/units/channel.ts';

export const alarmKinds = [
  'stall',
  'sluggish',
  'over-pressure',
  'over-pressure-ahead',
  'refermentation',
  'leak',
  'temperature',
  'silent-sensor',
  'stuck-sensor',
  'misreading-sensor',
  'overshoot',
  'time-reached',
  'not-boiling',
  'slow-cooling',
  'too-warm-to-pitch',
  'blocked-vent',
  'gravity-movement',
  'pressure-band',
  'food-safety',
  'food-safety-ahead',
  'low-acid',
  'overdue-topping',
  'overdue-test',
  'refermentation-potential',
  'relief-chatter',
  'air-danger',
  'air-short-term',
  'air-working-day',
  'low-oxygen',
] as const;

export type AlarmKind = (typeof alarmKinds)[number];

export const alarmStates = [
  'normal',
  'unacknowledged',
  'acknowledged',
  'returned-unacknowledged',
  'latched-unacknowledged',
  'latched-acknowledged',
  'shelved',
  'suppressed',
  'out-of-service',
] as const;

export type AlarmState = (typeof alarmStates)[number];

/** high: get up; medium: today; low: when next at the vessel. */
export type Priority = 'high' | 'medium' | 'low';

/** Why an alarm is shelved, suppressed or out of service, and who set it aside; the process has no name. */
type SetAside = {
  readonly by: string | null;
  /** Unix seconds. */
  readonly at: number;
  readonly why: string | null;
};

export type Alarm = {
  /** Unique within the vessel: the kind, with the channel where one kind can stand on several. */
  readonly alarm: string;
  readonly kind: AlarmKind;
  readonly channel: Channel | null;
  readonly batch: string | null;
  readonly priority: Priority;
  readonly state: AlarmState;
  /** How often this alarm has been raised on this vessel; with `alarm` it names one occurrence. */
  readonly occurrence: number;
  /** Unix seconds. */
  readonly raisedAt: number;
  readonly returnedAt: number | null;
  readonly acknowledgedAt: number | null;
  readonly acknowledgedBy: string | null;
  /** What the person who acknowledged it wrote. */
  readonly note: string | null;
  /** Unix seconds at which an acknowledged alarm that still stands asks again; null in every other state. */
  readonly reAlarmAt: number | null;
  /** Unix seconds; null unless the alarm is shelved. */
  readonly shelvedUntil: number | null;
  /** Null unless the alarm is shelved, suppressed or out of service. */
  readonly setAside: SetAside | null;
  /** Raised again and again within hours; held until it has been clear for longer than usual. */
  readonly chattering: boolean;
  /** What was seen when the alarm was raised, in words and numbers that a person can check. */
  readonly evidence: string;
  /** What is seen while the condition goes on; null until it has been looked at again. */
  readonly latest: { readonly at: number; readonly evidence: string } | null;
  readonly likelyCauses: readonly string[];
  readonly checkFirst: readonly string[];
  /** The usual caution where someone can be hurt; null where nothing can. */
  readonly caution: string | null;
  /** What the judgement rests on; null where its kind says that. */
  readonly source: string | null;
};

export const alarmTransitions = [
  'raised',
  'worsened',
  're-alarmed',
  'returned',
  /** The condition is over; the alarm stays until a person has looked and resets it. */
  'latched',
  'acknowledged',
  'reset',
  'shelved',
  'unshelved',
  'suppressed',
  'unsuppressed',
  'removed-from-service',
  'returned-to-service',
] as const;

export type AlarmTransition = (typeof alarmTransitions)[number];

/** One step of one alarm, with the alarm as it stands after the step. */
export type AlarmChange = {
  readonly transition: AlarmTransition;
  /** Unix seconds. */
  readonly at: number;
  /** Who did it; null where the process did. */
  readonly by: string | null;
  /** What that person wrote, or why the process did it. */
  readonly note: string | null;
  readonly alarm: Alarm;
};
