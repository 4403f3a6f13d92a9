/**
 * A history file of one past batch, CSV with trade units, into the record that is replayed and an account of what was
 * understood of the file. Any fault refuses the whole file, with up to twenty faults told at once. A reading that is
 * given again for the same time with the same value is kept once; with another value it is refused, since nothing
 * says which of them is right.
 */
import { readFileSync } from 'node:fs';
import type { Point } from '../../monitoring/watched.ts';
import { fail, ok, type Result } from '../../result.ts';
import { type CsvUnderstood, csvReader, csvRows } from '../../wire/csv-read.ts';
import { csvReadFaultInWords } from '../../wire/csv-read-fault.ts';
import { rfc3339 } from '../../wire/rfc3339.ts';
import { type DescribedBatch, watchedOf } from './described-batch.ts';
import type { BacktestRecord } from './record.ts';

export type History = {
  readonly record: BacktestRecord;
  readonly understood: CsvUnderstood;
  /** Readings given again with the same value. */
  readonly repeats: number;
  /** Rows whose time lies before one that came earlier in the file. */
  readonly lateRows: number;
  /** Rows from before the batch was started, which are left out. */
  readonly earlyRows: number;
};

/** Characters given to the reader at once: the rows of a long file are never all held as text. */
const pieceLength = 65_536;

/** Beyond these a person corrects the cause first. Chosen by us. */
const mostFaults = 20;

/** The text of a file, in UTF-8, or in UTF-16 where its byte order mark says so, as some spreadsheets write it. */
export const historyText = (path: string): string => {
  const bytes = readFileSync(path);
  const mark = bytes.subarray(0, 2).toString('hex');
  const encoding = mark === 'fffe' ? 'utf-16le' : mark === 'feff' ? 'utf-16be' : 'utf-8';
  return new TextDecoder(encoding).decode(bytes);
};

export const historyOf = (
  text: string,
  batch: DescribedBatch,
  leaveOut: readonly string[],
  /** Unix seconds: no row can be later. */
  now: number,
): Result<History, readonly string[]> => {
  const reader = csvReader({
    leaveOut,
    latestTime: now + clockSlackSeconds,
    ...(batch.zoneOffsetSeconds === null ? {} : { zoneOffsetSeconds: batch.zoneOffsetSeconds }),
  });
  const faults: string[] = [];
  const rows: (readonly Point[])[] = [];
  const seen = new Map<string, { readonly value: number; readonly line: number }>();
  let repeats = 0;
  let lateRows = 0;
  let earlyRows = 0;
  let latest = Number.NEGATIVE_INFINITY;
  for (const step of csvRows(piecesOf(text), reader)) {
    if (!step.ok) {
      const { fault } = step;
      const option =
        fault.kind === 'column-unknown' ? ` (--leave-out "${fault.heading}" does that)` : '';
      faults.push(`${csvReadFaultInWords(fault)}${option}`);
      continue;
    }
    const { line, timeSeconds: time, points } = step.value;
    if (batch.startedAt !== null && time < batch.startedAt) {
      earlyRows += 1;
      continue;
    }
    const fresh: Point[] = [];
    for (const { channel, value, column } of points) {
      const name = `${channel} ${time}`;
      const before = seen.get(name);
      if (before === undefined) {
        seen.set(name, { value, line });
        fresh.push({ channel, time, value });
      } else if (before.value === value) repeats += 1;
      else {
        faults.push(
          `line ${line}, column ${column}, gives ${channel} at ${rfc3339(time) ?? time} a second time and otherwise than line ${before.line}; keep one, and where clocks were set back give the times with their zone`,
        );
      }
    }
    if (fresh.length === 0) continue;
    if (time < latest) lateRows += 1;
    latest = Math.max(latest, time);
    rows.push(fresh);
  }
  if (faults.length > 0) return fail(shortened(faults));
  const understood = reader.understood();
  const first = rows[0]?.[0]?.time;
  if (understood === null || first === undefined) {
    const why =
      earlyRows > 0 ? `all its ${earlyRows} rows lie before --started` : 'it has no reading';
    return fail([`nothing is left of the file: ${why}; give it at least one row with a value`]);
  }
  if (batch.endedAt !== null && batch.endedAt < latest) {
    return fail([
      `--ended is ${rfc3339(batch.endedAt) ?? batch.endedAt}, before the last row, ${rfc3339(latest) ?? latest}; correct it`,
    ]);
  }
  const startedAt =
    batch.startedAt ?? rows.reduce((least, row) => Math.min(least, row[0]?.time ?? least), first);
  return ok({
    record: {
      name: batch.title,
      watched: watchedOf(batch, startedAt),
      begins: startedAt,
      ends: batch.endedAt ?? latest,
      rows,
    },
    understood,
    repeats,
    lateRows,
    earlyRows,
  });
};

/** A logger's clock may run ahead of the one here by as much as the door for sensors allows. */
const clockSlackSeconds = 300;

function* piecesOf(text: string): Generator<string> {
  for (let from = 0; from < text.length; from += pieceLength) {
    yield text.slice(from, from + pieceLength);
  }
}

const shortened = (faults: readonly string[]): readonly string[] =>
  faults.length <= mostFaults
    ? faults
    : [...faults.slice(0, mostFaults), `and ${faults.length - mostFaults} more of the kind`];
