/**
 * Migration 2 of a vessel: version 1 held a row for each reading and each correction.
 * It stands on its own and writes the tables of version 2 by name, so that later versions of the
 * tables do not change what it does; packed columns stay readable for ever.
 */
import { ByteWriter } from './packed/byte-writer.ts';
import { writeColumn } from './packed/column.ts';
import { packPoints } from './packed/points.ts';

/** Points of a block, and readings held in memory at once. */
const blockPoints = 360;

type Row = { readonly time: number; readonly value: number };

const columnOf = <Field extends string>(
  rows: readonly Readonly<Record<Field, number>>[],
  field: Field,
): Float64Array => Float64Array.from(rows, (row) => row[field]);

export const moveReadingsIntoBlocks = (sql: SqlStorage): void => {
  const channels = sql
    .exec<{ channel: string }>('SELECT DISTINCT channel FROM reading ORDER BY channel')
    .toArray()
    .map(({ channel }) => channel);
  const marks: Record<string, { settled: number; newest: number; count: number }> = {};
  let newest = 0;
  for (const channel of channels) {
    const settled = moveChannel(sql, channel);
    marks[channel] = { settled, newest: settled, count: 0 };
    newest = Math.max(newest, settled);
  }
  if (channels.length > 0)
    sql.exec(
      'INSERT INTO tail (id, marks, body, written_at) VALUES (1, ?, ?, ?)',
      JSON.stringify(marks),
      new ArrayBuffer(0),
      newest,
    );
  moveCorrections(sql);
  sql.exec('DROP TABLE reading');
  sql.exec('DROP TABLE correction_by_reading');
};

/** Returns the time of the channel's newest reading. */
const moveChannel = (sql: SqlStorage, channel: string): number => {
  let after = Number.NEGATIVE_INFINITY;
  for (;;) {
    const rows = sql
      .exec<Row>(
        'SELECT time, value FROM reading WHERE channel = ? AND time > ? ORDER BY time LIMIT ?',
        channel,
        after,
        blockPoints,
      )
      .toArray();
    const last = rows.at(-1);
    if (last === undefined) return after;
    const values = columnOf(rows, 'value');
    sql.exec(
      `INSERT INTO block (channel, first, last, count, low, high, body)
         VALUES (?, ?, ?, ?, ?, ?, ?)`,
      channel,
      rows[0]?.time,
      last.time,
      rows.length,
      values.reduce((low, value) => Math.min(low, value)),
      values.reduce((high, value) => Math.max(high, value)),
      packPoints({ times: columnOf(rows, 'time'), values }).buffer,
    );
    after = last.time;
  }
};

const moveCorrections = (sql: SqlStorage): void => {
  const rows = sql
    .exec<Row & { channel: string; replaced: number; at: number }>(
      'SELECT channel, time, replaced, value, at FROM correction_by_reading ORDER BY id',
    )
    .toArray();
  for (const own of Map.groupBy(rows, ({ at, channel }) => `${at} ${channel}`).values()) {
    const [first] = own;
    if (first === undefined) continue;
    const writer = new ByteWriter();
    writer.varint(own.length);
    for (const field of ['time', 'replaced', 'value'] as const)
      writeColumn(writer, columnOf(own, field));
    sql.exec(
      'INSERT INTO correction (channel, at, body) VALUES (?, ?, ?)',
      first.channel,
      first.at,
      writer.finish().buffer,
    );
  }
};
