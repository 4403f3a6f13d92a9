/**
 * The alarm as a record: what a person sees, acknowledges and finds in the history.
 * States and words after IEC 62682 / ISA-18.2. Pure data: no I/O, no clock.
 */
import type { Channel } from '../science/units/channel.ts';

export const alarmKinds = [
  'stall',
  'over-pressure',
  'over-pressure-ahead',
  'refermentation',
  'leak',
  'temperature',
  'silent-sensor',
  'stuck-sensor',
] as const;

export type AlarmKind = (typeof alarmKinds)[number];

export type AlarmState =
  | 'normal'
  | 'unacknowledged'
  | 'acknowledged'
  | 'returned-unacknowledged'
  | 'shelved'
  | 'suppressed'
  | 'out-of-service';

/** high: get up; medium: today; low: when next at the vessel. */
export type Priority = 'high' | 'medium' | 'low';

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
  readonly note: string | null;
  readonly shelvedUntil: number | null;
  /** What was seen, in words and numbers that a person can check. */
  readonly evidence: string;
  readonly likelyCauses: readonly string[];
  readonly checkFirst: readonly string[];
  /** The usual caution where someone can be hurt; null where nothing can. */
  readonly caution: string | null;
};

export type AlarmTransition =
  | 'raised'
  | 'returned'
  | 'acknowledged'
  | 'shelved'
  | 'unshelved'
  | 'suppressed'
  | 'unsuppressed'
  | 'removed-from-service'
  | 'returned-to-service';

/** One step of one alarm, with the alarm as it stands after the step. */
export type AlarmChange = {
  readonly transition: AlarmTransition;
  /** Unix seconds. */
  readonly at: number;
  /** Who did it; null where the process did. */
  readonly by: string | null;
  readonly alarm: Alarm;
};
