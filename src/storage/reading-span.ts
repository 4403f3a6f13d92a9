/** Times of the first and last reading of a vessel in a span, whether in tail, block or hour. */
import type { Channel } from '../science/units/channel.ts';
import { blocksBetween } from './block-table.ts';
import { hoursBetween } from './hourly-table.ts';
import { unpackPoints } from './packed/points.ts';
import { countBelow } from './packed/search.ts';
import { openTail } from './tail.ts';
import { readTail } from './tail-table.ts';

/** Unix seconds; null where there is no reading in [from, to]. */
export const readingSpan = (
  sql: SqlStorage,
  from: number,
  to: number,
): { readonly first: number; readonly last: number } | null => {
  const { marks, body } = readTail(sql);
  const found: number[] = [];
  const look = (times: Float64Array, end: 'first' | 'last'): boolean => {
    const begin = countBelow(times, from);
    const count = countBelow(times, to, 'up-to');
    const time = times[end === 'first' ? begin : count - 1];
    if (time === undefined || count <= begin) return false;
    found.push(time);
    return true;
  };
  for (const { times } of openTail(body).values()) {
    look(times, 'first');
    look(times, 'last');
  }
  for (const channel of Object.keys(marks) as Channel[]) {
    for (const [end, direction] of [
      ['first', 'ASC'],
      ['last', 'DESC'],
    ] as const) {
      for (const block of blocksBetween(sql, channel, from, to, direction)) {
        const edge = end === 'first' ? block.first : block.last;
        const inside = edge >= from && edge <= to;
        if (inside) found.push(edge);
        if (inside || look(unpackPoints(block.body).times, end)) break;
      }
    }
    const hours = hoursBetween(sql, channel, from, to);
    for (const hour of [hours[0], hours.at(-1)]) if (hour !== undefined) found.push(hour.start);
  }
  return found.length === 0 ? null : { first: Math.min(...found), last: Math.max(...found) };
};
