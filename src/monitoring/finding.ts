/**
 * What a detector says at a moment: whether its condition holds, with the words and numbers behind it.
 * Detectors return findings; the alarm board turns them into alarms. Pure data: no I/O, no clock.
 */
import type { Channel } from '../science/units/channel.ts';
import type { AlarmKind, Priority } from './alarms/alarm.ts';

export type Finding = {
  readonly kind: AlarmKind;
  readonly channel: Channel | null;
  /**
   * holds: past the limit. clear: back past the deadband. between: inside the deadband, or too little is
   * known to say; the alarm stays as it is.
   */
  readonly condition: 'holds' | 'clear' | 'between';
  /** Unix seconds of the reading, or of the moment of silence, that decided. */
  readonly at: number;
  readonly priority: Priority;
  /** How long the condition must hold before the alarm is raised, and be clear before it returns. */
  readonly onDelaySeconds: number;
  readonly offDelaySeconds: number;
  /** Built only when a change needs them, since most readings change nothing. */
  readonly words: () => FindingWords;
};

export type FindingWords = {
  readonly evidence: string;
  readonly likelyCauses: readonly string[];
  readonly checkFirst: readonly string[];
  readonly caution: string | null;
  /** What the judgement rests on, where it differs from one finding of its kind to another. */
  readonly source?: string | null;
};

/** The name of an alarm within its vessel. */
export const alarmName = (finding: Pick<Finding, 'kind' | 'channel'>): string =>
  finding.channel === null ? finding.kind : `${finding.kind}:${finding.channel}`;
