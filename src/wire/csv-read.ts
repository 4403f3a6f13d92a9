/**
 * CSV with a line of headings into readings of one vessel, a piece of text at a time: each row's time in Unix seconds
 * and its values in the units in which channels are stored. Trade units are converted here, once, and
 * `understood` tells what was made of the file: columns with their own units, zone, decimal mark, rows and span.
 *
 * A row that cannot be read gives a fault in its place and reading goes on, so that one run can tell a person all
 * that is wrong; whether anything is kept in spite of a fault is the caller's to decide. A blank field is no value.
 * Rows come in the order of the file, which for a history is the order of arrival. Longer than 250 lines because the
 * row, its time and its numbers share one state of the file. Pure: no I/O, no clock.
 */
import { fail, ok, type Result } from '../result.ts';
import type { Channel } from '../science/units/channel.ts';
import type { CsvPlace, CsvReadFault } from './csv-read-fault.ts';
import { type CsvColumn, csvColumns } from './csv-read-header.ts';
import { csvNumber, type DecimalMark, type ShownMark } from './csv-read-number.ts';
import { type CsvRecord, type CsvSeparator, csvRecords } from './csv-read-records.ts';
import { csvTime } from './csv-read-time.ts';
import { csvStored } from './csv-read-units.ts';

type CsvPoint = {
  readonly channel: Channel;
  /** In the channel's stored unit. */
  readonly value: number;
  /** Counted from 1. */
  readonly column: number;
};

export type CsvRow = {
  /** Line on which the row begins, counted from 1. */
  readonly line: number;
  /** Unix seconds. */
  readonly timeSeconds: number;
  readonly points: readonly CsvPoint[];
};

export type CsvOptions = {
  /** Zone of times that carry none, where the heading names none either. Default 0, which is UTC. */
  readonly zoneOffsetSeconds?: number;
  /** Headings of columns that are no readings. */
  readonly leaveOut?: readonly string[];
  /** Unix seconds; an earlier time comes from a clock that was not set. Default 2000-01-01. */
  readonly earliestTime?: number;
  /** Unix seconds, as a rule the present moment; default none. */
  readonly latestTime?: number;
};

/** What was made of the file so far. */
export type CsvUnderstood = {
  readonly separator: CsvSeparator;
  /** Null where no number had one. */
  readonly decimalMark: DecimalMark | null;
  readonly columns: readonly CsvColumn[];
  /** Values read in each column, in the order of `columns`. */
  readonly values: readonly number[];
  readonly rows: number;
  readonly blankLines: number;
  /** Null before the first row. */
  readonly timeForm: 'unix' | 'iso' | null;
  /** Rows whose time carried no zone, and the offset that was taken for them. */
  readonly rowsWithoutZone: number;
  readonly assumedOffsetSeconds: number;
  /** Offsets that times carried, in order of appearance. */
  readonly offsetsSeconds: readonly number[];
  /** Unix seconds of the earliest and the latest row. */
  readonly span: readonly [number, number] | null;
};

export type CsvReader = {
  readonly take: (text: string) => readonly Result<CsvRow, CsvReadFault>[];
  readonly end: () => readonly Result<CsvRow, CsvReadFault>[];
  /** Null until the headings are read. */
  readonly understood: () => CsvUnderstood | null;
};

/**
 * 2000-01-01T00:00:00Z, as readings.ts has it and for the same reason. It also refuses the day counts of
 * spreadsheets, which lie near 46 000.
 */
const earliestByDefault = 946_684_800;

/** Above this a Unix time is surely in milliseconds: 1e11 s is the year 5138. */
const surelyMilliseconds = 1e11;

export const csvReader = (options: CsvOptions = {}): CsvReader => {
  const { leaveOut = [], earliestTime = earliestByDefault, latestTime = null } = options;
  const records = csvRecords();
  let begun = false;
  /** Null before the headings are read, and after they were refused, since no row can be read then. */
  let columns: readonly CsvColumn[] | null = null;
  let refused = false;
  let values: number[] = [];
  let rows = 0;
  let blankLines = 0;
  let mark: ShownMark = null;
  let form: { readonly form: 'unix' | 'iso'; readonly line: number } | null = null;
  let assumedOffsetSeconds = options.zoneOffsetSeconds ?? 0;
  let rowsWithoutZone = 0;
  const offsetsSeconds: number[] = [];
  let span: readonly [number, number] | null = null;

  const readHeadings = (record: CsvRecord): readonly Result<CsvRow, CsvReadFault>[] => {
    const found = csvColumns(record, leaveOut);
    if (!found.ok) {
      refused = true;
      return found.fault.map(fail);
    }
    columns = found.value;
    values = columns.map(() => 0);
    for (const column of columns) {
      if (column.kind === 'time')
        assumedOffsetSeconds = column.zoneOffsetSeconds ?? assumedOffsetSeconds;
    }
    return [];
  };

  const numberAt = (place: CsvPlace): Result<number, CsvReadFault> => {
    const read = csvNumber(place.found, records.separator() ?? ',', mark);
    if (!read.ok) return fail({ kind: 'number-refused', why: read.fault, ...place });
    if (read.value.mark !== null) mark ??= { mark: read.value.mark, line: place.line };
    return ok(read.value.value);
  };

  const timeAt = (place: CsvPlace): Result<number, CsvReadFault> => {
    if (place.found === '') return fail({ kind: 'time-missing', ...place });
    const own = /^[+-]?\d+(?:[.,]\d+)?$/.test(place.found) ? 'unix' : 'iso';
    if (form !== null && form.form !== own) {
      return fail({ kind: 'time-form-changes', firstLine: form.line, first: form.form, ...place });
    }
    const time = own === 'unix' ? numberAt(place) : zonedTimeAt(place);
    if (!time.ok) return time;
    if (time.value > surelyMilliseconds) return fail({ kind: 'time-in-milliseconds', ...place });
    if (time.value < earliestTime) {
      return fail({ kind: 'time-outside', earliest: earliestTime, latest: null, ...place });
    }
    if (latestTime !== null && time.value > latestTime) {
      return fail({ kind: 'time-outside', earliest: earliestTime, latest: latestTime, ...place });
    }
    form ??= { form: own, line: place.line };
    return time;
  };

  const zonedTimeAt = (place: CsvPlace): Result<number, CsvReadFault> => {
    const read = csvTime(place.found, assumedOffsetSeconds);
    if (!read.ok) return fail({ kind: 'time-refused', why: read.fault.kind, ...place });
    const { timeSeconds, zoneOffsetSeconds } = read.value;
    if (zoneOffsetSeconds === null) rowsWithoutZone += 1;
    else if (!offsetsSeconds.includes(zoneOffsetSeconds)) offsetsSeconds.push(zoneOffsetSeconds);
    return ok(timeSeconds);
  };

  const readRow = (
    { line, fields }: CsvRecord,
    known: readonly CsvColumn[],
  ): readonly Result<CsvRow, CsvReadFault>[] => {
    if (fields.every((field) => field.trim() === '')) {
      blankLines += 1;
      return [];
    }
    if (fields.length !== known.length) {
      const [found, expected] = [fields.length, known.length];
      const commas = records.separator() === ',';
      return [fail({ kind: 'field-count', line, found, expected, commas })];
    }
    const faults: CsvReadFault[] = [];
    const points: CsvPoint[] = [];
    const counted: number[] = [];
    let timeSeconds: number | null = null;
    for (const [index, column] of known.entries()) {
      const found = (fields[index] ?? '').trim();
      const place = { line, column: column.column, heading: column.heading, found };
      switch (column.kind) {
        case 'time': {
          const time = timeAt(place);
          if (time.ok) timeSeconds = time.value;
          else faults.push(time.fault);
          break;
        }
        case 'unnamed':
          if (found !== '') faults.push({ kind: 'value-without-heading', ...place });
          break;
        case 'left-out':
          break;
        case 'channel': {
          if (found === '') break;
          const { channel, unit } = column;
          const before = points.find((point) => point.channel === channel);
          if (before !== undefined) {
            faults.push({ kind: 'channel-twice-in-row', otherColumn: before.column, ...place });
            break;
          }
          const read = numberAt(place);
          const stored = read.ok ? csvStored(channel, unit, read.value) : null;
          if (!read.ok) faults.push(read.fault);
          else if (stored?.ok === false) {
            faults.push({ kind: 'value-outside', unit: unit.symbol, ...stored.fault, ...place });
          } else if (stored !== null) {
            points.push({ channel, value: stored.value, column: column.column });
            counted.push(index);
          }
        }
      }
    }
    if (faults.length > 0 || timeSeconds === null) return faults.map(fail);
    rows += 1;
    for (const index of counted) values[index] = (values[index] ?? 0) + 1;
    span = [
      Math.min(span?.[0] ?? timeSeconds, timeSeconds),
      Math.max(span?.[1] ?? timeSeconds, timeSeconds),
    ];
    return [ok({ line, timeSeconds, points })];
  };

  const read = (steps: ReturnType<typeof records.take>): readonly Result<CsvRow, CsvReadFault>[] =>
    steps.flatMap((step) => {
      if (!step.ok) return [step];
      if (refused) return [];
      return columns === null ? readHeadings(step.value) : readRow(step.value, columns);
    });

  return {
    take: (text) => {
      const own = begun ? text : text.replace(/^\ufeff/, '');
      begun ||= text !== '';
      return own === '' ? [] : read(records.take(own));
    },
    end: () => {
      const last = read(records.end());
      const empty = columns === null && !refused && last.length === 0;
      return empty ? [fail({ kind: 'no-header' })] : last;
    },
    understood: () => {
      const separator = records.separator();
      if (columns === null || separator === null) return null;
      return {
        separator,
        decimalMark: mark?.mark ?? null,
        columns,
        values: [...values],
        rows,
        blankLines,
        timeForm: form?.form ?? null,
        rowsWithoutZone,
        assumedOffsetSeconds,
        offsetsSeconds: [...offsetsSeconds],
        span,
      };
    },
  };
};

/** The rows and faults of a whole text, or of one that comes in pieces, one at a time. */
export function* csvRows(
  pieces: Iterable<string>,
  reader: CsvReader,
): Generator<Result<CsvRow, CsvReadFault>, void, undefined> {
  for (const piece of pieces) yield* reader.take(piece);
  yield* reader.end();
}
