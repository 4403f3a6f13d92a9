/**
 * Blocks: a few hundred points of one channel in a row. Blocks of a channel do not overlap in time.
 * Least and greatest value stand beside the body, so that a chart of a long span need not unpack it.
 */
import type { Channel } from '../science/units/channel.ts';
import { blockPoints } from './packed/block-points.ts';
import { cutPoints, type Points, packPoints, unpackPoints } from './packed/points.ts';

export const blockTable = `CREATE TABLE block (
  channel TEXT NOT NULL, first REAL NOT NULL, last REAL NOT NULL, count INTEGER NOT NULL,
  low REAL NOT NULL, high REAL NOT NULL, body BLOB NOT NULL,
  PRIMARY KEY (channel, first)) STRICT, WITHOUT ROWID`;

/** A block that grows past this is cut. Chosen by us: the pieces of a cut block have room to grow. */
const grownPoints = 540;

export type Block = {
  readonly first: number;
  readonly last: number;
  readonly count: number;
  readonly low: number;
  readonly high: number;
  readonly body: ArrayBuffer;
};

const columns = 'first, last, count, low, high, body';

export const putBlock = (sql: SqlStorage, channel: Channel, points: Points): void => {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const value of points.values) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  sql.exec(
    `INSERT INTO block (channel, ${columns}) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)
       ON CONFLICT (channel, first) DO UPDATE
       SET last = ?3, count = ?4, low = ?5, high = ?6, body = ?7`,
    channel,
    points.times[0],
    points.times.at(-1),
    points.times.length,
    low,
    high,
    packPoints(points).buffer,
  );
};

const removeBlock = (sql: SqlStorage, channel: Channel, first: number): void => {
  sql.exec('DELETE FROM block WHERE channel = ? AND first = ?', channel, first);
};

/** Puts points where a block was (null: where none was), in as many blocks as they need. */
export const replaceBlock = (
  sql: SqlStorage,
  channel: Channel,
  before: number | null,
  points: Points,
): void => {
  const pieces = points.times.length > grownPoints ? cutPoints(points, blockPoints) : [points];
  if (before !== null && before !== points.times[0]) removeBlock(sql, channel, before);
  for (const piece of pieces) if (piece.times.length > 0) putBlock(sql, channel, piece);
};

/** The block into which a time belongs, with the beginning of the one after it; null without blocks. */
export const blockFor = (
  sql: SqlStorage,
  channel: Channel,
  time: number,
): {
  readonly first: number;
  readonly points: Points;
  readonly nextFirst: number | null;
} | null => {
  const at = (condition: string): { first: number; body: ArrayBuffer } | undefined =>
    sql
      .exec<{ first: number; body: ArrayBuffer }>(
        `SELECT first, body FROM block WHERE channel = ? AND first ${condition} LIMIT 1`,
        channel,
        time,
      )
      .toArray()[0];
  const row = at('<= ? ORDER BY first DESC') ?? at('> ? ORDER BY first');
  if (row === undefined) return null;
  const { next } = sql
    .exec<{ next: number | null }>(
      'SELECT min(first) AS next FROM block WHERE channel = ? AND first > ?',
      channel,
      row.first,
    )
    .one();
  return { first: row.first, points: unpackPoints(row.body), nextFirst: next };
};

/** Blocks of a channel that reach into [from, to], in order of time or against it. */
export const blocksBetween = (
  sql: SqlStorage,
  channel: Channel,
  from: number,
  to: number,
  direction: 'ASC' | 'DESC' = 'ASC',
): Iterable<Block> =>
  sql.exec<Block>(
    `SELECT ${columns} FROM block
      WHERE channel = ?1 AND first <= ?3 AND last >= ?2
        AND first >= coalesce((SELECT max(first) FROM block WHERE channel = ?1 AND first <= ?2), ?2)
      ORDER BY first ${direction}`,
    channel,
    from,
    to,
  );
