/**
 * Why a CSV file is refused, as a tagged union that carries line, column and the value that offended, and the words
 * for a person: where it is, what stands there, what to do. Lines and columns are counted from 1, as a spreadsheet
 * and an editor count them.
 * Pure: no I/O, no clock.
 */
import { type CsvHeaderFault, csvColumnNames } from './csv-read-header.ts';
import type { CsvNumberFault } from './csv-read-number.ts';
import type { CsvRecordFault } from './csv-read-records.ts';
import type { CsvTimeFault } from './csv-read-time.ts';
import { rfc3339 } from './rfc3339.ts';
import { shownValue } from './shown-value.ts';

/** Where a value stands and what it is. */
export type CsvPlace = {
  readonly line: number;
  readonly column: number;
  readonly heading: string;
  readonly found: string;
};

type CsvValueFault =
  | {
      readonly kind: 'field-count';
      readonly line: number;
      readonly found: number;
      readonly expected: number;
      /** Whether commas part the columns, so that a decimal comma makes two fields of one. */
      readonly commas: boolean;
    }
  | ({ readonly kind: 'value-without-heading' } & CsvPlace)
  | ({ readonly kind: 'time-missing' } & CsvPlace)
  | ({ readonly kind: 'time-refused'; readonly why: CsvTimeFault['kind'] } & CsvPlace)
  | ({
      readonly kind: 'time-form-changes';
      readonly firstLine: number;
      readonly first: 'unix' | 'iso';
    } & CsvPlace)
  | ({ readonly kind: 'time-in-milliseconds' } & CsvPlace)
  | ({
      readonly kind: 'time-outside';
      readonly earliest: number;
      readonly latest: number | null;
    } & CsvPlace)
  | ({ readonly kind: 'number-refused'; readonly why: CsvNumberFault } & CsvPlace)
  | ({
      readonly kind: 'value-outside';
      readonly unit: string;
      readonly lowest: number;
      readonly highest: number;
    } & CsvPlace)
  | ({ readonly kind: 'channel-twice-in-row'; readonly otherColumn: number } & CsvPlace);

export type CsvReadFault = CsvRecordFault | CsvHeaderFault | CsvValueFault;

export const csvReadFaultInWords = (fault: CsvReadFault): string => {
  switch (fault.kind) {
    case 'text-after-quote':
      return `${lineAndColumn(fault)} has text behind its closing quote; write a quote inside a quoted field twice`;
    case 'quote-inside':
      return `${lineAndColumn(fault)} has a quote inside a field that does not begin with one; put the whole field in quotes and write the inner quote twice`;
    case 'quote-open':
      return `${lineAndColumn(fault)} begins with a quote that is never closed; close it, or take it away`;
    case 'record-too-long':
      return `line ${fault.line} is longer than ${fault.most} characters; look for a quote that is never closed`;
    case 'no-header':
      return 'the file is empty; begin it with a line of headings, such as time, temperature (°C), gravity (SG)';
    case 'header-of-values':
      return `${headed(fault)}, which is a value; put a line of headings first, such as time, temperature (°C), gravity (SG)`;
    case 'no-time-column':
      return `line ${fault.line} heads no column "time"; head the column of times so`;
    case 'no-channel-column':
      return `line ${fault.line} heads no column but time; add at least one, such as gravity (SG)`;
    case 'time-column-twice':
      return `${headed(fault)}, as column ${fault.firstColumn} is; join date and time of day in one column`;
    case 'column-unknown':
      return `${headed(fault)}, which is no quantity that is known here${damaged(fault.heading)}; rename it to one of ${csvColumnNames}, with its unit in brackets, or have it left out`;
    case 'bare-pressure-column':
      return `${headed(fault)}, which does not say against what; head it head pressure (above the surrounding air) or absolute pressure (against vacuum)`;
    case 'zone-unknown':
      return `${headed(fault)}, with the zone ${shownValue(fault.found)}; write UTC or the offset from it, as in time (+01:00)`;
    case 'column-unit-missing':
      return `${headed(fault)} without a unit; put one of ${fault.accepted.join(', ')} in brackets behind the name`;
    case 'column-unit-unknown':
      return `${headed(fault)}, with the unit ${shownValue(fault.found)}${damaged(fault.found)}; use one of ${fault.accepted.join(', ')}`;
    case 'refractometer-column':
      return `${headed(fault)}, which is what a refractometer reads, and alcohol falsifies it; convert it first and head it gravity (SG), or, if it is a hydrometer's scale, head it gravity (°Bx hydrometer)`;
    case 'pressure-kind-contradicts':
      return `${headed(fault)}, with the unit ${shownValue(fault.found)}, which says ${fault.unitSays}; head the column ${fault.unitSays === 'absolute' ? 'absolute pressure' : 'head pressure'}, or correct the unit`;
    case 'nothing-to-leave-out':
      return `no column is headed ${shownValue(fault.heading)}, which was to be left out; write the heading as it stands in the file`;
    case 'field-count':
      return `line ${fault.line} has ${fault.found} ${fault.found === 1 ? 'field' : 'fields'} where the header has ${fault.expected}; give each line as many${fault.commas && fault.found > fault.expected ? ' (a decimal comma needs semicolons or tabs between the columns)' : ''}`;
    case 'value-without-heading':
      return `${lineAndColumn(fault)} has ${shownValue(fault.found)} in a column without a heading; give the column one, or empty it`;
    case 'time-missing':
      return `${lineAndColumn(fault)}, ${shownValue(fault.heading)}, is blank; give every row a time`;
    case 'time-refused':
      return `${valued(fault)}, ${timeWords[fault.why]}`;
    case 'time-form-changes':
      return `${valued(fault)}, where line ${fault.firstLine} has ${fault.first === 'unix' ? 'Unix seconds' : 'a date'}; keep to one form of time`;
    case 'time-in-milliseconds':
      return `${valued(fault)}, which in seconds lies beyond the year 5000; divide milliseconds by 1000`;
    case 'time-outside':
      return `${valued(fault)}, which lies ${fault.latest === null ? `before ${moment(fault.earliest)}` : `after ${moment(fault.latest)}`}; correct the time, and see that it is in ISO 8601 or in Unix seconds`;
    case 'number-refused':
      return `${valued(fault)}, ${numberWords(fault.why)}`;
    case 'value-outside':
      return `${valued(fault)}, outside ${bare(fault.lowest)} to ${bare(fault.highest)} ${fault.unit}; check the value and the unit of the column, and leave it blank where there is no reading`;
    case 'channel-twice-in-row':
      return `${valued(fault)}, a second value for what column ${fault.otherColumn} gives in the same row; leave one of the two blank`;
  }
};

const lineAndColumn = (place: { readonly line: number; readonly column: number }): string =>
  `line ${place.line}, column ${place.column}`;

const headed = (place: Omit<CsvPlace, 'found'>): string =>
  `${lineAndColumn(place)}, is headed ${shownValue(place.heading)}`;

const valued = (place: CsvPlace): string =>
  `${lineAndColumn(place)}, ${shownValue(place.heading)}, has ${shownValue(place.found)}`;

const timeWords: Readonly<Record<CsvTimeFault['kind'], string>> = {
  'not-a-time': 'which is no time; write it as 2026-11-25 09:30 or in Unix seconds',
  'date-alone': 'which has no time of day; write it as 2026-11-25 09:30',
  'time-of-day-alone':
    'which has no date; join date and time of day in one column, as 2026-11-25 09:30',
  'day-and-month-unclear':
    'in which day and month cannot be told apart; write year, month, day: 2026-11-25 09:30',
  'not-in-calendar': 'which the calendar or the clock does not have; correct it',
};

const numberWords = (why: CsvNumberFault): string => {
  switch (why.kind) {
    case 'not-a-number':
      return 'which is no number; write the bare number, and nothing where there is no reading';
    case 'thousands':
      return 'which groups its digits; write the number without separators of thousands';
    case 'comma-among-commas':
      return 'which has a decimal comma in a file whose columns commas part; write a point, or part the columns by semicolons';
    case 'mark-changes':
      return `whose decimal mark is not the "${why.mark}" of line ${why.firstLine}; keep to one mark`;
  }
};

/** What a wrong encoding leaves behind. */
const damaged = (text: string): string =>
  text.includes('\ufffd') ? ' (a character is damaged: save the file as UTF-8)' : '';

const moment = (timeSeconds: number): string => rfc3339(timeSeconds) ?? `${timeSeconds} s`;

const bare = (value: number): string => String(Number(value.toPrecision(6)));
