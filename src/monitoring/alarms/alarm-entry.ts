/**
 * What the board keeps of one alarm: the record that people see, and what its delays and its memory need.
 * Plain JSON of bounded size. Pure: no I/O, no clock.
 */

import type { Finding, FindingWords } from '../finding.ts';
import type { Alarm, Priority } from './alarm.ts';
import type { Condition } from './alarm-machine.ts';
import { type Course, emptyCourse } from './condition-course.ts';

export type AlarmEntry = {
  readonly alarm: Alarm;
  /** Whether the condition holds, delays included; also followed while the alarm is set aside. */
  readonly holds: boolean;
  /** True from the moment at which a latching alarm's condition begins until a person resets it. */
  readonly latched: boolean;
  /** Unix seconds since which the findings have disagreed with `holds`; null while they agree. */
  readonly differsSince: number | null;
  /** Unix seconds at which the delay is over and `holds` turns, if nothing is heard before. */
  readonly turnsAt: number | null;
  /** What the finding that waits for its delay had to say; null while none waits. */
  readonly waiting: WaitingFinding | null;
  /** What readings said within the lateness window, for alarms that are judged reading by reading. */
  readonly course: Course;
  /** Unix seconds at which the clock alone last turned it, which a clock that is set back does not undo. */
  readonly clockedAt: number;
  /** How often `holds` has turned, as told, since what the course begins with. */
  readonly turnsTold: number;
  /** Unix seconds of the latest onsets. */
  readonly onsets: readonly number[];
};

export type WaitingFinding = {
  readonly words: FindingWords;
  readonly priority: Priority;
  readonly batch: string | null;
};

export type Board = Readonly<Record<string, AlarmEntry>>;

/** Nothing waits for a delay. */
export const nothingWaits = { differsSince: null, turnsAt: null, waiting: null } as const;

/** Readings so far say no more than whether the condition holds. */
export const freshCourse = (holds: boolean) =>
  ({ course: emptyCourse(holds), turnsTold: 0 }) as const;

export const conditionOf = ({ holds, latched }: AlarmEntry): Condition =>
  holds ? 'holds' : latched ? 'latched' : 'clear';

/** The entry of an alarm of which nothing has been told. */
export const untoldEntry = (
  finding: Pick<Finding, 'kind' | 'channel' | 'priority'>,
  name: string,
  batch: string | null,
  now: number,
): AlarmEntry => ({
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
    reAlarmAt: null,
    shelvedUntil: null,
    setAside: null,
    chattering: false,
    evidence: '',
    latest: null,
    likelyCauses: [],
    checkFirst: [],
    caution: null,
    source: null,
  },
  holds: false,
  latched: false,
  ...nothingWaits,
  course: emptyCourse(false),
  turnsTold: 0,
  clockedAt: Number.MIN_SAFE_INTEGER,
  onsets: [],
});
