/** The points of a channel after a time in full detail: block by block, and then those of the tail. */
import type { Channel } from '../science/units/channel.ts';
import { blocksBetween } from './block-table.ts';
import { type Points, slicePoints, unpackPoints } from './packed/points.ts';
import { countBelow } from './packed/search.ts';
import { openTail } from './tail.ts';
import { readTail } from './tail-table.ts';

export function* partsAfter(sql: SqlStorage, channel: Channel, after: number): Generator<Points> {
  const later = (points: Points): Points =>
    slicePoints(points, countBelow(points.times, after, 'up-to'));
  for (const block of blocksBetween(sql, channel, after, Number.POSITIVE_INFINITY)) {
    const points = later(unpackPoints(block.body));
    if (points.times.length > 0) yield points;
  }
  const newest = openTail(readTail(sql).body).get(channel);
  const points = newest === undefined ? undefined : later(newest);
  if (points !== undefined && points.times.length > 0) yield points;
}
