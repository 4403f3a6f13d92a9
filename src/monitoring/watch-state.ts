/**
 * The state of a watch: everything remembered between two calls. Plain JSON of bounded size.
 * Only files of this folder look inside; storage keeps it as it is.
 */
import type { Channel } from '../science/units/channel.ts';
import type { Board } from './alarm-board.ts';
import type { Stage } from './batch.ts';
import type { ChannelMemory } from './channel-memory.ts';
import type { Watched } from './watched.ts';

export type WatchState = {
  /** Rises when the shape changes, so that an older state is begun afresh rather than misread. */
  readonly version: 1;
  readonly batch: string | null;
  readonly stage: Stage | null;
  readonly channels: Readonly<Partial<Record<Channel, ChannelMemory>>>;
  /** Unix seconds since which temperature has been outside its band without a break; null inside. */
  readonly outOfBandSince: number | null;
  readonly board: Board;
};

export const beginWatch = (watched: Watched, _now: number): WatchState => ({
  version: 1,
  batch: watched.batch?.batch ?? null,
  stage: watched.batch?.stage ?? null,
  channels: {},
  outOfBandSince: null,
  board: {},
});
