/**
 * The readings of one vessel: one row per (channel, time), so that a re-sent reading changes
 * nothing; a different value for the same time is a correction, kept with the one it replaced.
 */
import type { Channel } from '../science/units/channel.ts';

export const readingTables = [
  `CREATE TABLE reading (
     channel TEXT NOT NULL, time REAL NOT NULL, value REAL NOT NULL,
     PRIMARY KEY (channel, time)) STRICT, WITHOUT ROWID`,
  `CREATE TABLE correction (
     id INTEGER PRIMARY KEY, channel TEXT NOT NULL, time REAL NOT NULL,
     replaced REAL NOT NULL, value REAL NOT NULL, at REAL NOT NULL) STRICT`,
];

export type StoredReading = {
  readonly channel: Channel;
  /** Unix seconds. */
  readonly time: number;
  readonly value: number;
};

export type StoredCounts = {
  readonly stored: number;
  readonly repeated: number;
  readonly corrected: number;
};

/**
 * Stores readings inside the caller's transaction.
 * Returns what changed (to be judged) and the counts. `now` dates the corrections.
 */
export const storeReadings = (
  sql: SqlStorage,
  readings: readonly StoredReading[],
  now: number,
): { readonly changed: readonly StoredReading[]; readonly counts: StoredCounts } => {
  const packed = JSON.stringify(readings.map(({ channel, time, value }) => [channel, time, value]));
  const known = new Map<string, number>();
  const rows = sql
    .exec<{ channel: string; time: number; value: number }>(
      `SELECT reading.channel, reading.time, reading.value
         FROM json_each(?) AS sent
         JOIN reading ON reading.channel = sent.value->>0 AND reading.time = sent.value->>1`,
      packed,
    )
    .toArray();
  for (const row of rows) known.set(`${row.channel} ${row.time}`, row.value);

  const fresh: StoredReading[] = [];
  const corrections: { readonly reading: StoredReading; readonly replaced: number }[] = [];
  for (const reading of readings) {
    const stored = known.get(`${reading.channel} ${reading.time}`);
    if (stored === undefined) fresh.push(reading);
    else if (stored !== reading.value) corrections.push({ reading, replaced: stored });
  }
  if (fresh.length > 0) {
    sql.exec(
      'INSERT INTO reading (channel, time, value) SELECT value->>0, value->>1, value->>2 FROM json_each(?)',
      JSON.stringify(fresh.map(({ channel, time, value }) => [channel, time, value])),
    );
  }
  for (const { reading, replaced } of corrections) {
    sql.exec(
      'UPDATE reading SET value = ? WHERE channel = ? AND time = ?',
      reading.value,
      reading.channel,
      reading.time,
    );
    sql.exec(
      'INSERT INTO correction (channel, time, replaced, value, at) VALUES (?, ?, ?, ?, ?)',
      reading.channel,
      reading.time,
      replaced,
      reading.value,
      now,
    );
  }
  return {
    changed: [...fresh, ...corrections.map(({ reading }) => reading)],
    counts: {
      stored: fresh.length,
      repeated: readings.length - fresh.length - corrections.length,
      corrected: corrections.length,
    },
  };
};

/** Times of the first and last reading in a span; null where there is none. */
export const readingSpan = (
  sql: SqlStorage,
  from: number,
  to: number,
): { readonly first: number; readonly last: number } | null => {
  const row = sql
    .exec<{ first: number | null; last: number | null }>(
      'SELECT min(time) AS first, max(time) AS last FROM reading WHERE time BETWEEN ? AND ?',
      from,
      to,
    )
    .one();
  return row.first === null || row.last === null ? null : { first: row.first, last: row.last };
};

export type Envelope = {
  readonly low: readonly (number | null)[];
  readonly high: readonly (number | null)[];
};

/**
 * Least and greatest value of each channel in `bucketCount` equal spans of [from, to), so that a
 * chart keeps its spikes. A span without a reading is null in both.
 */
export const readingEnvelopes = (
  sql: SqlStorage,
  from: number,
  to: number,
  bucketCount: number,
): Readonly<Partial<Record<Channel, Envelope>>> => {
  const envelopes: Partial<Record<Channel, { low: (number | null)[]; high: (number | null)[] }>> =
    {};
  const width = (to - from) / bucketCount;
  const cursor = sql.exec(
    'SELECT channel, time, value FROM reading WHERE time >= ? AND time < ? ORDER BY channel, time',
    from,
    to,
  );
  for (const row of cursor.raw()) {
    const [channel, time, value] = row as [Channel, number, number];
    let envelope = envelopes[channel];
    if (envelope === undefined) {
      envelope = {
        low: new Array<number | null>(bucketCount).fill(null),
        high: new Array<number | null>(bucketCount).fill(null),
      };
      envelopes[channel] = envelope;
    }
    const bucket = Math.min(bucketCount - 1, Math.floor((time - from) / width));
    const low = envelope.low[bucket] ?? null;
    const high = envelope.high[bucket] ?? null;
    if (low === null || value < low) envelope.low[bucket] = value;
    if (high === null || value > high) envelope.high[bucket] = value;
  }
  return envelopes;
};
