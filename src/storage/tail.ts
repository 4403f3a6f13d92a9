/**
 * The tail: the newest readings of all channels of a vessel together, until they are many enough to
 * be worth a block. A log of segments: a pack that is ahead of all others is added at the end without
 * unpacking what is there. Pure: no I/O, no clock.
 */
import type { Channel } from '../science/units/channel.ts';
import { channelOf, codeOf } from './channel-code.ts';
import { blockPoints } from './packed/block-points.ts';
import { ByteReader } from './packed/byte-reader.ts';
import { ByteWriter } from './packed/byte-writer.ts';
import {
  cutPoints,
  joinPoints,
  type Points,
  readPoints,
  slicePoints,
  writePoints,
} from './packed/points.ts';

/** What is known of a channel without unpacking anything. */
export type Mark = {
  /** Unix seconds up to which its readings are in blocks; null while all are in the tail. */
  readonly settled: number | null;
  /** Unix seconds of its newest reading. */
  readonly newest: number;
  /** Its readings in the tail. */
  readonly count: number;
};

export type Marks = Readonly<Partial<Record<Channel, Mark>>>;

/** The readings of the tail by channel. */
export type OpenTail = Map<Channel, Points>;

/** Readings at which a tail is long: four channels of a full block each. */
const longReadings = 4 * blockPoints;

/**
 * Bytes at which a tail is long. Chosen by us: four pages of the database, since each pack writes the
 * tail anew. Readings that arrive one by one get there first.
 */
const longBytes = 16 * 1024;

/** A channel with fewer points stays in the tail. Chosen by us: smaller blocks would waste rows. */
const fewestPoints = 120;

export const isLong = (marks: Marks, bytes: number): boolean =>
  bytes >= longBytes ||
  Object.values(marks).reduce((sum, { count }) => sum + count, 0) >= longReadings;

export const packSegments = (series: Iterable<readonly [Channel, Points]>): Uint8Array => {
  const writer = new ByteWriter(2048);
  for (const [channel, points] of series) {
    writer.byte(codeOf(channel));
    writePoints(writer, points);
  }
  return writer.finish();
};

export const openTail = (body: Uint8Array): OpenTail => {
  const segments = new Map<Channel, Points[]>();
  const reader = new ByteReader(body);
  while (!reader.atEnd) {
    const channel = channelOf(reader.byte());
    const points = readPoints(reader);
    const known = segments.get(channel);
    if (known === undefined) segments.set(channel, [points]);
    else known.push(points);
  }
  return new Map([...segments].map(([channel, parts]) => [channel, joinPoints(parts)]));
};

/** The oldest points of a channel that are worth a block each, and what stays in the tail. */
export const settle = (
  points: Points,
): { readonly blocks: readonly Points[]; readonly rest: Points } => {
  const { length } = points.times;
  const over = length % blockPoints;
  const settled = over >= fewestPoints ? length : length - over;
  return {
    blocks: cutPoints(slicePoints(points, 0, settled), blockPoints),
    rest: slicePoints(points, settled),
  };
};
