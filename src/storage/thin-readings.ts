/**
 * Thins readings past their time of full detail to least, mean and greatest value of each hour, a
 * bounded number of blocks at a time. Readings in the tail are few and stay as they are.
 */
import { type Channel, channelNames } from '../science/units/channel.ts';
import { replaceBlock } from './block-table.ts';
import { addHours, type Hour, hourOf, hourSeconds } from './hourly-table.ts';
import { type Points, unpackPoints } from './packed/points.ts';
import { openTail } from './tail.ts';
import { readTail } from './tail-table.ts';

/** A span of time that keeps its detail; `to` is null while it lasts. Unix seconds. */
export type HeldSpan = { readonly from: number; readonly to: number | null };

export type ThinningRule = {
  /** Unix seconds: hours that end by then are thinned. */
  readonly before: number;
  readonly held: readonly HeldSpan[];
};

/** Where a step begins: behind the block of a channel that begins at `after`, null for its first. */
export type ThinningPlace = { readonly channel: Channel; readonly after: number | null };

/** Chosen by us: some ten milliseconds of work, so that readings do not wait. */
const blocksPerStep = 64;

export const thinningStart: ThinningPlace = {
  channel: channelNames[0] ?? 'temperature',
  after: null,
};

/**
 * One step, inside the caller's transaction. Returns where the next begins; null at the end.
 * An hour is thinned whole or not at all: a step goes on to the end of the hour in which it would
 * stop, and an hour that reaches into the tail waits.
 */
export const thinStep = (
  sql: SqlStorage,
  place: ThinningPlace,
  rule: ThinningRule,
): ThinningPlace | null => {
  const tail = openTail(readTail(sql).body);
  let room = blocksPerStep;
  let after = place.after ?? Number.NEGATIVE_INFINITY;
  for (const channel of channelNames.slice(channelNames.indexOf(place.channel))) {
    const blocks = blocksAfter(sql, channel, after, rule.before, room);
    const last = blocks.at(-1);
    const stops = last !== undefined && blocks.length === room;
    const end = stops ? hourOf(last.last) + hourSeconds : Number.POSITIVE_INFINITY;
    if (stops)
      blocks.push(...blocksAfter(sql, channel, last.first, Math.min(end, rule.before), -1));
    const tailHour = hourOf(tail.get(channel)?.times[0] ?? Number.POSITIVE_INFINITY);
    const before = Math.min(rule.before, end, tailHour);
    const hours = blocks.flatMap(({ first, body }) =>
      thinBlock(sql, channel, first, unpackPoints(body), { ...rule, before }),
    );
    if (hours.length > 0) addHours(sql, channel, hours);
    // A block that reaches past the end is looked at again.
    if (stops)
      return { channel, after: blocks.findLast((block) => block.last < end)?.first ?? after };
    room -= blocks.length;
    after = Number.NEGATIVE_INFINITY;
  }
  return null;
};

type Body = { readonly first: number; readonly last: number; readonly body: ArrayBuffer };

/** Blocks that begin after one moment and before another; a limit of -1 is none. */
const blocksAfter = (
  sql: SqlStorage,
  channel: Channel,
  after: number,
  before: number,
  limit: number,
): Body[] =>
  sql
    .exec<Body>(
      `SELECT first, last, body FROM block
        WHERE channel = ? AND first > ? AND first < ? ORDER BY first LIMIT ?`,
      channel,
      after,
      before,
      limit,
    )
    .toArray();

/** Takes out of a block the hours that are due; returns them. */
const thinBlock = (
  sql: SqlStorage,
  channel: Channel,
  first: number,
  { times, values }: Points,
  rule: ThinningRule,
): readonly Hour[] => {
  const hours = new Map<number, number[]>();
  const kept: number[] = [];
  for (const [index, time] of times.entries()) {
    const start = hourOf(time);
    const own = hours.get(start);
    if (own !== undefined) own.push(values[index] ?? 0);
    else if (isDue(start, rule)) hours.set(start, [values[index] ?? 0]);
    else kept.push(index);
  }
  if (hours.size > 0)
    replaceBlock(sql, channel, first, {
      times: Float64Array.from(kept, (index) => times[index] ?? 0),
      values: Float64Array.from(kept, (index) => values[index] ?? 0),
    });
  return Array.from(hours, ([start, own]) => ({
    start,
    low: Math.min(...own),
    mean: own.reduce((sum, value) => sum + value, 0) / own.length,
    high: Math.max(...own),
    count: own.length,
  }));
};

/** An hour that touches a held span is held whole. */
const isDue = (start: number, { before, held }: ThinningRule): boolean => {
  const end = start + hourSeconds;
  return (
    end <= before &&
    !held.some(({ from, to }) => end > from && start <= (to ?? Number.POSITIVE_INFINITY))
  );
};
