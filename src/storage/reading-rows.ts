/**
 * Readings in full detail as rows in order of time, all channels of a vessel side by side, a bounded page at a time.
 * Hours that were thinned are no readings and are left out.
 */
import { type Channel, channelNames } from '../science/units/channel.ts';
import { partsAfter } from './parts-after.ts';

export type ReadingRow = {
  /** Unix seconds. */
  readonly time: number;
  readonly values: Readonly<Partial<Record<Channel, number>>>;
};

export type RowPage = {
  readonly rows: readonly ReadingRow[];
  /** Give it back as `after` for the next page; null at the end. */
  readonly next: number | null;
};

/** Points of one channel that a page looks at. Chosen by us: a page of all eleven takes about a megabyte. */
const pointsPerChannel = 2000;

/** Rows of (after, to]. */
export const rowPage = (sql: SqlStorage, after: number, to: number): RowPage => {
  const rows = new Map<number, Partial<Record<Channel, number>>>();
  let horizon = to;
  for (const channel of channelNames) {
    let left = pointsPerChannel;
    for (const { times, values } of partsAfter(sql, channel, after)) {
      for (const [index, time] of times.entries()) {
        if (time > horizon) break;
        const row = rows.get(time) ?? {};
        row[channel] = values[index] ?? 0;
        rows.set(time, row);
        left -= 1;
        // What lies behind is for the next page, in every channel.
        if (left === 0) horizon = Math.min(horizon, time);
      }
      if (left <= 0 || (times.at(-1) ?? 0) >= horizon) break;
    }
  }
  return {
    rows: Array.from(rows, ([time, values]) => ({ time, values }))
      .filter(({ time }) => time <= horizon)
      .sort((one, other) => one.time - other.time),
    next: horizon < to ? horizon : null,
  };
};

/** Channels of which there are readings in full detail. */
export const channelsRead = (sql: SqlStorage): readonly Channel[] =>
  channelNames.filter((channel) => {
    for (const { times } of partsAfter(sql, channel, Number.NEGATIVE_INFINITY))
      return times.length > 0;
    return false;
  });
