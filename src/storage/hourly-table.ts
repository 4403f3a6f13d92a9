/**
 * What is kept of readings past their time of full detail: least, mean and greatest value of each
 * hour with the count behind them. One row holds thirty days of one channel.
 */
import type { Channel } from '../science/units/channel.ts';
import { ByteReader } from './packed/byte-reader.ts';
import { ByteWriter } from './packed/byte-writer.ts';
import { readColumn, writeColumn } from './packed/column.ts';

export const hourlyTable = `CREATE TABLE hourly (
  channel TEXT NOT NULL, month REAL NOT NULL, body BLOB NOT NULL,
  PRIMARY KEY (channel, month)) STRICT, WITHOUT ROWID`;

export const hourSeconds = 3600;

/** Span of a row. Chosen by us: 720 hours, in the order of a block's points. */
const monthSeconds = 720 * hourSeconds;

export type Hour = {
  /** Unix seconds of its beginning. */
  readonly start: number;
  readonly low: number;
  readonly mean: number;
  readonly high: number;
  readonly count: number;
};

const fields = ['start', 'low', 'mean', 'high', 'count'] as const;

export const hourOf = (time: number): number => Math.floor(time / hourSeconds) * hourSeconds;

const monthOf = (time: number): number => Math.floor(time / monthSeconds) * monthSeconds;

/** Seven digits of a mean are finer than any sensor of ours, and keep the row small. Chosen by us. */
const rounded = (mean: number): number => Number(mean.toPrecision(7));

const pack = (hours: readonly Hour[]): ArrayBuffer => {
  const writer = new ByteWriter(4096);
  writer.varint(hours.length);
  for (const field of fields)
    writeColumn(
      writer,
      Float64Array.from(hours, (hour) => (field === 'mean' ? rounded(hour.mean) : hour[field])),
    );
  return writer.finish().buffer;
};

const unpack = (body: ArrayBuffer): readonly Hour[] => {
  const reader = new ByteReader(new Uint8Array(body));
  const count = reader.varint();
  const [starts, lows, means, highs, counts] = fields.map(() => readColumn(reader, count));
  return Array.from({ length: count }, (_, index) => ({
    start: starts?.[index] ?? 0,
    low: lows?.[index] ?? 0,
    mean: means?.[index] ?? 0,
    high: highs?.[index] ?? 0,
    count: counts?.[index] ?? 0,
  }));
};

const joined = (one: Hour, other: Hour): Hour => {
  const count = one.count + other.count;
  return {
    start: one.start,
    low: Math.min(one.low, other.low),
    mean: (one.mean * one.count + other.mean * other.count) / count,
    high: Math.max(one.high, other.high),
    count,
  };
};

/** Adds hours of one channel to what is kept; an hour that is there already is joined with its kin. */
export const addHours = (sql: SqlStorage, channel: Channel, hours: readonly Hour[]): void =>
  write(sql, channel, hours, (known, hour) => (known === undefined ? hour : joined(known, hour)));

/** Puts hours of one channel where there are none yet; tells how many that were. */
export const putHours = (sql: SqlStorage, channel: Channel, hours: readonly Hour[]): number => {
  let put = 0;
  write(sql, channel, hours, (known, hour) => {
    if (known === undefined) put += 1;
    return known ?? hour;
  });
  return put;
};

const write = (
  sql: SqlStorage,
  channel: Channel,
  hours: readonly Hour[],
  choose: (known: Hour | undefined, hour: Hour) => Hour,
): void => {
  for (const [month, own] of Map.groupBy(hours, ({ start }) => monthOf(start))) {
    const known = new Map(
      hoursOfMonths(sql, channel, month, month).map((hour) => [hour.start, hour]),
    );
    for (const hour of own) known.set(hour.start, choose(known.get(hour.start), hour));
    sql.exec(
      `INSERT INTO hourly (channel, month, body) VALUES (?1, ?2, ?3)
         ON CONFLICT (channel, month) DO UPDATE SET body = ?3`,
      channel,
      month,
      pack([...known.values()].sort((one, other) => one.start - other.start)),
    );
  }
};

const hoursOfMonths = (
  sql: SqlStorage,
  channel: Channel,
  firstMonth: number,
  lastMonth: number,
): readonly Hour[] =>
  sql
    .exec<{ body: ArrayBuffer }>(
      'SELECT body FROM hourly WHERE channel = ? AND month BETWEEN ? AND ? ORDER BY month',
      channel,
      firstMonth,
      lastMonth,
    )
    .toArray()
    .flatMap((row) => unpack(row.body));

/** Hours of a channel that begin in [from, to], in order of time. */
export const hoursBetween = (
  sql: SqlStorage,
  channel: Channel,
  from: number,
  to: number,
): readonly Hour[] =>
  hoursOfMonths(sql, channel, monthOf(from), monthOf(to)).filter(
    ({ start }) => start >= from && start <= to,
  );

/** The hours of a channel's next month with any after a moment; empty at the end. */
export const nextHours = (sql: SqlStorage, channel: Channel, after: number): readonly Hour[] => {
  const rows = sql.exec<{ body: ArrayBuffer }>(
    'SELECT body FROM hourly WHERE channel = ? AND month >= ? ORDER BY month',
    channel,
    monthOf(after),
  );
  for (const { body } of rows) {
    const hours = unpack(body).filter(({ start }) => start > after);
    if (hours.length > 0) return hours;
  }
  return [];
};
