/**
 * The state of a watch: everything remembered between two calls. Plain JSON of bounded size.
 * Only files of this folder look inside; storage keeps it as it is.
 */
import type { Channel } from '../science/units/channel.ts';
import type { Board } from './alarms/alarm-board.ts';
import type { Stage } from './batch.ts';
import type { ChannelMemory } from './course/channel-memory.ts';
import { type Chronicle, emptyChronicle } from './course/chronicle.ts';
import { type FermentationMemory, noFermentation } from './fermentation/fermentation-memory.ts';
import type { PressureMemory } from './pressure/pressure-memory.ts';
import type { Sameness } from './sensors/sameness.ts';
import { beginStage, type StageMemory } from './stages/stage-memory.ts';
import type { Watched } from './watched.ts';

export type WatchState = {
  /** Rises when the shape changes, so that an older state is begun afresh rather than misread. */
  readonly version: 5;
  readonly batch: string | null;
  readonly stage: Stage | null;
  readonly channels: Readonly<Partial<Record<Channel, ChannelMemory>>>;
  readonly sameness: Readonly<Partial<Record<Channel, Sameness>>>;
  readonly chronicle: Chronicle;
  readonly fermentation: FermentationMemory;
  readonly pressure: PressureMemory | null;
  readonly stages: StageMemory;
  /** Unix seconds since which temperature has been outside its band without a break; null inside. */
  readonly outOfBandSince: number | null;
  readonly board: Board;
};

export const beginWatch = (watched: Watched, _now: number): WatchState => ({
  version: 5,
  batch: watched.batch?.batch ?? null,
  stage: watched.batch?.stage ?? null,
  channels: {},
  sameness: {},
  chronicle: emptyChronicle,
  fermentation: noFermentation,
  pressure: null,
  stages: beginStage(watched),
  outOfBandSince: null,
  board: {},
});
