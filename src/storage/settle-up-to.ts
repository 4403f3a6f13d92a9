/**
 * Moves a channel's tail into blocks and declares it settled up to a moment, so that a reading from
 * before it is looked up among blocks and hours. Needed where hours arrive that this vessel never
 * held in detail. Inside the caller's transaction.
 */
import type { Channel } from '../science/units/channel.ts';
import { putBlock } from './block-table.ts';
import { blockPoints } from './packed/block-points.ts';
import { cutPoints, noPoints } from './packed/points.ts';
import { openTail, packSegments } from './tail.ts';
import { readTail, writeTail } from './tail-table.ts';

export const settleUpTo = (sql: SqlStorage, channel: Channel, upTo: number, now: number): void => {
  const { marks, body } = readTail(sql);
  const mark = marks[channel];
  if ((mark?.settled ?? Number.NEGATIVE_INFINITY) >= upTo) return;
  const open = openTail(body);
  for (const piece of cutPoints(open.get(channel) ?? noPoints, blockPoints))
    putBlock(sql, channel, piece);
  open.delete(channel);
  const settled = Math.max(upTo, mark?.newest ?? upTo);
  writeTail(
    sql,
    {
      marks: { ...marks, [channel]: { settled, newest: settled, count: 0 } },
      body: packSegments(open),
    },
    now,
  );
};
