/**
 * Corrections, kept with the values that they replaced: one row for each channel of a pack, however
 * many readings it corrected.
 */
import type { Channel } from '../science/units/channel.ts';
import { ByteReader } from './packed/byte-reader.ts';
import { ByteWriter } from './packed/byte-writer.ts';
import { readColumn, writeColumn } from './packed/column.ts';
import type { PointCorrection } from './packed/merge-points.ts';

export const correctionTable = `CREATE TABLE correction (
  id INTEGER PRIMARY KEY, channel TEXT NOT NULL, at REAL NOT NULL, body BLOB NOT NULL) STRICT`;

/** Corrections of one channel that arrived together. */
export type Correction = {
  readonly channel: Channel;
  /** Unix seconds at which they arrived. */
  readonly at: number;
  readonly points: readonly PointCorrection[];
};

export const putCorrection = (sql: SqlStorage, correction: Correction): void => {
  const { channel, at, points } = correction;
  sql.exec(
    'INSERT INTO correction (channel, at, body) VALUES (?, ?, ?)',
    channel,
    at,
    pack(points),
  );
};

/** Puts a correction that another vessel exported; false if it is there already. */
export const putCorrectionOnce = (sql: SqlStorage, correction: Correction): boolean => {
  const { channel, at, points } = correction;
  const known = sql
    .exec(
      'SELECT 1 FROM correction WHERE channel = ? AND at = ? AND body = ?',
      channel,
      at,
      pack(points),
    )
    .toArray();
  if (known.length > 0) return false;
  putCorrection(sql, correction);
  return true;
};

const pack = (points: readonly PointCorrection[]): ArrayBuffer => {
  const writer = new ByteWriter();
  writer.varint(points.length);
  for (const field of ['time', 'replaced', 'value'] as const)
    writeColumn(
      writer,
      Float64Array.from(points, (point) => point[field]),
    );
  return writer.finish().buffer;
};

/** Corrections after a row, in the order in which they were stored. */
export const correctionsAfter = (
  sql: SqlStorage,
  id: number,
  limit: number,
): readonly (Correction & { readonly id: number })[] =>
  sql
    .exec<{ id: number; channel: string; at: number; body: ArrayBuffer }>(
      'SELECT id, channel, at, body FROM correction WHERE id > ? ORDER BY id LIMIT ?',
      id,
      limit,
    )
    .toArray()
    .map((row) => ({
      id: row.id,
      channel: row.channel as Channel,
      at: row.at,
      points: unpack(row.body),
    }));

const unpack = (body: ArrayBuffer): readonly PointCorrection[] => {
  const reader = new ByteReader(new Uint8Array(body));
  const count = reader.varint();
  const times = readColumn(reader, count);
  const replaced = readColumn(reader, count);
  const values = readColumn(reader, count);
  return Array.from(times, (time, index) => ({
    time,
    replaced: replaced[index] ?? 0,
    value: values[index] ?? 0,
  }));
};
