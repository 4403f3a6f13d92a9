/**
 * Points that belong among those already in blocks: late, out of order, back-filled or corrected.
 * Each lands in the block of its time, and a block that grows is cut. A point of an hour of which
 * only the hourly row is kept is left aside, since nothing tells whether it is counted there.
 */
import type { Channel } from '../science/units/channel.ts';
import { blockFor, replaceBlock } from './block-table.ts';
import { hourOf, hoursBetween } from './hourly-table.ts';
import { mergePoints, type PointCorrection } from './packed/merge-points.ts';
import { noPoints, type Points, slicePoints } from './packed/points.ts';
import { countBelow } from './packed/search.ts';
import type { Part } from './tally.ts';

export const storeLate = (sql: SqlStorage, channel: Channel, sent: Points): Part => {
  const late = withoutThinned(sql, channel, sent);
  const fresh: number[] = [];
  const corrections: PointCorrection[] = [];
  let repeated = 0;
  let from = 0;
  while (from < late.times.length) {
    const block = blockFor(sql, channel, late.times[from] ?? 0);
    const to =
      block === null || block.nextFirst === null
        ? late.times.length
        : countBelow(late.times, block.nextFirst);
    const merged = mergePoints(block?.points ?? noPoints, slicePoints(late, from, to));
    if (merged.fresh.length > 0 || merged.corrections.length > 0)
      replaceBlock(sql, channel, block?.first ?? null, merged.points);
    for (const time of merged.fresh) fresh.push(time);
    for (const correction of merged.corrections) corrections.push(correction);
    repeated += merged.repeated;
    from = to;
  }
  return { fresh, corrections, repeated, thinned: sent.times.length - late.times.length };
};

const withoutThinned = (sql: SqlStorage, channel: Channel, sent: Points): Points => {
  const first = hourOf(sent.times[0] ?? 0);
  const last = hourOf(sent.times.at(-1) ?? 0);
  const thinned = new Set(hoursBetween(sql, channel, first, last).map(({ start }) => start));
  if (thinned.size === 0) return sent;
  const kept = [...sent.times.keys()].filter(
    (index) => !thinned.has(hourOf(sent.times[index] ?? 0)),
  );
  return {
    times: Float64Array.from(kept, (index) => sent.times[index] ?? 0),
    values: Float64Array.from(kept, (index) => sent.values[index] ?? 0),
  };
};
