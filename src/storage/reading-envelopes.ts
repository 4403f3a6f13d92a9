/**
 * Least and greatest value of each channel in equal spans of time, so that a chart keeps its spikes.
 * Values are rounded for drawing.
 */
import type { Channel } from '../science/units/channel.ts';
import { blocksBetween } from './block-table.ts';
import { chartRounding } from './chart-rounding.ts';
import { hourSeconds, hoursBetween } from './hourly-table.ts';
import { type Points, unpackPoints } from './packed/points.ts';
import { countBelow } from './packed/search.ts';
import { openTail } from './tail.ts';
import { readTail } from './tail-table.ts';

/** Least and greatest value per bucket; a bucket without a reading is null in both. */
export type Envelope = {
  readonly low: readonly (number | null)[];
  readonly high: readonly (number | null)[];
};

/** Envelopes of the readings in [from, to); a channel without any is left out. */
export const readingEnvelopes = (
  sql: SqlStorage,
  from: number,
  to: number,
  bucketCount: number,
): Readonly<Partial<Record<Channel, Envelope>>> => {
  const { marks, body } = readTail(sql);
  const tail = openTail(body);
  const envelopes: Partial<Record<Channel, Envelope>> = {};
  for (const channel of Object.keys(marks) as Channel[]) {
    const fold = new Fold(from, to, bucketCount);
    for (const hour of hoursBetween(sql, channel, from - hourSeconds, to)) {
      const middle = hour.start + hourSeconds / 2;
      if (middle >= from && middle < to) fold.span(fold.bucketOf(middle), hour.low, hour.high);
    }
    for (const block of blocksBetween(sql, channel, from, to)) {
      const bucket = fold.bucketOf(block.first);
      const whole = block.first >= from && block.last < to && bucket === fold.bucketOf(block.last);
      if (whole) fold.span(bucket, block.low, block.high);
      else fold.points(unpackPoints(block.body));
    }
    const newest = tail.get(channel);
    if (newest !== undefined) fold.points(newest);
    const envelope = fold.envelope(chartRounding(channel));
    if (envelope !== null) envelopes[channel] = envelope;
  }
  return envelopes;
};

/** Infinities stand for a bucket without a reading until the end: they need no test on the way. */
class Fold {
  readonly #from: number;
  readonly #to: number;
  readonly #perSecond: number;
  readonly #low: Float64Array;
  readonly #high: Float64Array;

  constructor(from: number, to: number, bucketCount: number) {
    this.#from = from;
    this.#to = to;
    this.#perSecond = bucketCount / (to - from);
    this.#low = new Float64Array(bucketCount).fill(Number.POSITIVE_INFINITY);
    this.#high = new Float64Array(bucketCount).fill(Number.NEGATIVE_INFINITY);
  }

  bucketOf(time: number): number {
    return Math.min(this.#low.length - 1, Math.floor((time - this.#from) * this.#perSecond));
  }

  span(bucket: number, low: number, high: number): void {
    this.#low[bucket] = Math.min(this.#low[bucket] ?? low, low);
    this.#high[bucket] = Math.max(this.#high[bucket] ?? high, high);
  }

  points({ times, values }: Points): void {
    const end = countBelow(times, this.#to);
    for (let index = countBelow(times, this.#from); index < end; index += 1) {
      const value = values[index] ?? 0;
      this.span(this.bucketOf(times[index] ?? 0), value, value);
    }
  }

  envelope(round: (value: number) => number): Envelope | null {
    const shown = (value: number): number | null => (Number.isFinite(value) ? round(value) : null);
    const low = Array.from(this.#low, shown);
    return low.every((value) => value === null)
      ? null
      : { low, high: Array.from(this.#high, shown) };
  }
}
