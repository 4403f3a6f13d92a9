/**
 * The readings of one vessel: the newest in the tail, the others in blocks. A re-sent reading changes
 * nothing; a different value for the same time is a correction, kept with the one it replaced.
 */
import type { Channel } from '../science/units/channel.ts';
import { replaceBlock } from './block-table.ts';
import { putCorrection } from './correction-table.ts';
import { storeLate } from './late-points.ts';
import { mergePoints } from './packed/merge-points.ts';
import { noPoints, type Points, slicePoints } from './packed/points.ts';
import { countBelow } from './packed/search.ts';
import { type StoredReading, seriesOf } from './reading-series.ts';
import { isLong, type Mark, type OpenTail, openTail, packSegments, settle } from './tail.ts';
import { readTail, type Tail, writeTail } from './tail-table.ts';
import { type StoreOutcome, Tally } from './tally.ts';

export type { StoredReading } from './reading-series.ts';

/** Stores readings inside the caller's transaction. `now` dates the receipt and its corrections. */
export const storeReadings = (
  sql: SqlStorage,
  readings: readonly StoredReading[],
  now: number,
): StoreOutcome => storeSeries(sql, seriesOf(readings), now).outcome(readings);

/** The same for ascending series of points, as a back-fill brings them. */
export const storeSeries = (
  sql: SqlStorage,
  series: ReadonlyMap<Channel, Points>,
  now: number,
): Tally => {
  const tally = new Tally();
  const tail = readTail(sql);
  const ahead = new Map<Channel, Points>();
  const among = new Map<Channel, Points>();
  for (const [channel, sent] of series) {
    const mark = tail.marks[channel];
    const late = countBelow(sent.times, mark?.settled ?? Number.NEGATIVE_INFINITY, 'up-to');
    if (late > 0) tally.add(channel, storeLate(sql, channel, slicePoints(sent, 0, late)));
    const rest = slicePoints(sent, late);
    if (rest.times.length === 0) continue;
    (isAhead(rest, mark) ? ahead : among).set(channel, rest);
  }
  for (const [channel, points] of ahead)
    tally.add(channel, { fresh: [...points.times], corrections: [], repeated: 0, thinned: 0 });
  const next = grow(sql, tail, ahead, among, tally);
  if (next !== null) writeTail(sql, next, now);
  for (const [channel, points] of tally.corrections)
    putCorrection(sql, { channel, at: now, points });
  return tally;
};

const isAhead = ({ times }: Points, mark: Mark | undefined): boolean => {
  let before = mark?.newest ?? Number.NEGATIVE_INFINITY;
  for (const time of times) {
    if (time <= before) return false;
    before = time;
  }
  return true;
};

/** The tail with what arrived; what is worth a block leaves it for one. Null where nothing changed. */
const grow = (
  sql: SqlStorage,
  tail: Tail,
  ahead: ReadonlyMap<Channel, Points>,
  among: ReadonlyMap<Channel, Points>,
  tally: Tally,
): Tail | null => {
  const added = packSegments(ahead);
  const body = new Uint8Array(tail.body.length + added.length);
  body.set(tail.body);
  body.set(added, tail.body.length);
  const marks: Partial<Record<Channel, Mark>> = { ...tail.marks };
  for (const [channel, points] of ahead) marks[channel] = markAhead(marks[channel], points);
  if (among.size === 0 && !isLong(marks, body.length))
    return ahead.size === 0 ? null : { marks, body };

  const open = openTail(body);
  let changed = ahead.size > 0;
  for (const [channel, points] of among) {
    const merged = mergePoints(open.get(channel) ?? noPoints, points);
    tally.add(channel, { ...merged, thinned: 0 });
    if (merged.fresh.length === 0 && merged.corrections.length === 0) continue;
    changed = true;
    open.set(channel, merged.points);
    marks[channel] = markOf(marks[channel], merged.points);
  }
  if (!changed) return null;
  if (isLong(marks, body.length)) settleAll(sql, open, marks);
  return { marks, body: packSegments(open) };
};

const markAhead = (mark: Mark | undefined, { times }: Points): Mark => ({
  settled: mark?.settled ?? null,
  newest: times.at(-1) ?? 0,
  count: (mark?.count ?? 0) + times.length,
});

const markOf = (mark: Mark | undefined, { times }: Points): Mark => ({
  settled: mark?.settled ?? null,
  newest: times.at(-1) ?? mark?.newest ?? 0,
  count: times.length,
});

const settleAll = (
  sql: SqlStorage,
  open: OpenTail,
  marks: Partial<Record<Channel, Mark>>,
): void => {
  for (const [channel, points] of open) {
    const { blocks, rest } = settle(points);
    const last = blocks.at(-1);
    if (last === undefined) continue;
    for (const block of blocks) replaceBlock(sql, channel, null, block);
    if (rest.times.length === 0) open.delete(channel);
    else open.set(channel, rest);
    const settled = last.times.at(-1) ?? 0;
    marks[channel] = {
      settled,
      newest: rest.times.at(-1) ?? settled,
      count: rest.times.length,
    };
  }
};
