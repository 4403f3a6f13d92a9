/** What the rules of a stage are shown: the vessel and its batch, the stage and its begin, and what was last read. */
import type { Channel } from '../../science/units/channel.ts';
import type { AlarmKind, Priority } from '../alarms/alarm.ts';
import type { Batch, Stage } from '../batch.ts';
import type { ChronicleRow } from '../course/chronicle.ts';
import type { Finding, FindingWords } from '../finding.ts';
import type { PressureMemory } from '../pressure/pressure-memory.ts';
import type { FermentationStatus } from '../status.ts';
import type { Watched } from '../watched.ts';
import type { Reading } from './course.ts';

export type StageView = {
  readonly watched: Watched;
  readonly batch: Batch;
  readonly stage: Stage;
  /** Unix seconds at which the stage began. */
  readonly since: number;
  readonly now: number;
  /** The newest reading of a channel that may speak of this stage: from an hour before it began at the earliest. */
  readonly newest: (channel: Channel) => Reading | null;
  /** The usual span between arrivals of a channel, s; null until it is known. */
  readonly usualGap: (channel: Channel) => number | null;
  readonly rows: readonly ChronicleRow[];
  /** Of the fermentation, as far as gravity tells it. */
  readonly phase: FermentationStatus['phase'];
  readonly pressure: PressureMemory | null;
};

export type ClockName =
  | 'rest'
  | 'boil'
  | 'heat-up'
  | 'cooling'
  | 'steep'
  | 'food-safety'
  | 'topping'
  | 'testing'
  | 'age';

/** One clock of a stage, for the alarms, the wake-up and the page. */
export type StageClock = {
  readonly clock: ClockName;
  readonly doneSeconds: number;
  readonly ofSeconds: number;
  /** Unix seconds at which it runs out if nothing changes; null while it stands still. */
  readonly dueAt: number | null;
};

/** A finding without delays: a clock has run out or it has not. */
export const plainFinding = (
  kind: AlarmKind,
  condition: Finding['condition'],
  at: number,
  priority: Priority,
  words: () => FindingWords,
): Finding => ({
  kind,
  channel: null,
  condition,
  at,
  priority,
  onDelaySeconds: 0,
  offDelaySeconds: 0,
  words,
});

export const scaldCaution =
  'Hot liquor and steam scald. Keep hands and face away from the opening, wear gloves and goggles, and never close a vessel that boils.';
