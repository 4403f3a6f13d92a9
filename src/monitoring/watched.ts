/** What the watch is told of the cellar: the vessel, its batch, and points as they come. Pure data. */
import type { Channel } from '../science/units/channel.ts';
import type { Batch } from './batch.ts';
import type { Vessel } from './vessel.ts';

export type Watched = {
  readonly vessel: Vessel;
  readonly batch: Batch | null;
  /** Unix seconds between which Gyleward itself was last away; null or absent if it never was. */
  readonly absence?: { readonly from: number; readonly to: number } | null;
};

/** One reading of one channel, in the channel's stored unit. */
export type Point = {
  readonly channel: Channel;
  /** Unix seconds of the measurement. */
  readonly time: number;
  readonly value: number;
};

export const happeningKinds = [
  'fermentation-finished',
  'fermentation-restarted',
  'sensor-moved',
  'ready-to-pitch',
  'age-reached',
  'drawn-early',
  'carbonation-reached',
] as const;

/** Something that happened and asks nothing of anybody. */
export type Happening = {
  readonly kind: (typeof happeningKinds)[number];
  /** Unix seconds. */
  readonly at: number;
  readonly words: string;
};
