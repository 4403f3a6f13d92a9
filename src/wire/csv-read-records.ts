/**
 * Splits CSV text into records by the rules of RFC 4180 section 2, a chunk at a time, each record with the line
 * on which it begins. Beyond the RFC: the columns may also be parted by semicolons or tabs, decided by the first
 * record, and a line may end in LF or CR alone. What the grammar has no place for is a fault, after which nothing
 * more is read, since nobody can say where the next record begins.
 *
 * Own code rather than a library: the libraries looked at are made for well-formed text. They tell no line
 * numbers, and the one measured (udsv 0.7.3) leaves out the rest of a file behind an open quote without a word;
 * it also makes functions from text, which the worker's runtime refuses. Pure: no I/O, no clock.
 */
import { fail, ok, type Result } from '../result.ts';

export type CsvSeparator = ',' | ';' | '\t';

export type CsvRecord = {
  /** Line on which the record begins, counted from 1. */
  readonly line: number;
  readonly fields: readonly string[];
};

export type CsvRecordFault =
  /** Text stands behind the closing quote of a field. Columns are counted from 1. */
  | { readonly kind: 'text-after-quote'; readonly line: number; readonly column: number }
  /** A quote stands inside a field that does not begin with one. */
  | { readonly kind: 'quote-inside'; readonly line: number; readonly column: number }
  | { readonly kind: 'quote-open'; readonly line: number; readonly column: number }
  | { readonly kind: 'record-too-long'; readonly line: number; readonly most: number };

type Step = Result<CsvRecord, CsvRecordFault>;

export type CsvRecords = {
  /** Takes the next piece of text and gives the records that it completes. */
  readonly take: (text: string) => readonly Step[];
  /** Says that no more text follows; a last line without a line end is a record all the same. */
  readonly end: () => readonly Step[];
  /** Null until the first record is complete. */
  readonly separator: () => CsvSeparator | null;
};

/**
 * Characters that one record may hold. Chosen by us: a logger's line has at most some hundreds; more would let a
 * quote that is never closed take the whole file into memory before anybody is told.
 */
const longestRecord = 65_536;

/** Tab before semicolon before comma: a heading may well hold a comma, and seldom a tab. */
const separators: readonly CsvSeparator[] = ['\t', ';', ','];

type Place = 'field-start' | 'bare' | 'quoted' | 'behind-quote';

export const csvRecords = (): CsvRecords => {
  let separator: CsvSeparator | null = null;
  /** What has come of the first record, kept until its separator can be told. */
  let opening = '';
  let openingQuoted = false;
  let broken = false;
  let line = 1;
  let recordLine = 1;
  let fields: string[] = [];
  let field = '';
  let length = 0;
  let place: Place = 'field-start';
  let afterReturn = false;

  const closeField = (): void => {
    fields.push(field);
    field = '';
    place = 'field-start';
  };
  const closeRecord = (): CsvRecord => {
    closeField();
    const record = { line: recordLine, fields };
    fields = [];
    length = 0;
    return record;
  };
  const stop = (fault: CsvRecordFault): Step => {
    broken = true;
    return fail(fault);
  };

  const read = (text: string, parted: CsvSeparator): readonly Step[] => {
    const steps: Step[] = [];
    for (const character of text) {
      const isReturn = character === '\r';
      const isBreak = isReturn || character === '\n';
      const secondHalf = character === '\n' && afterReturn;
      afterReturn = isReturn;
      if (isBreak && !secondHalf) line += 1;
      length += 1;
      if (length > longestRecord) {
        steps.push(stop({ kind: 'record-too-long', line: recordLine, most: longestRecord }));
        return steps;
      }
      if (place === 'quoted') {
        if (character === '"') place = 'behind-quote';
        else field += character;
      } else if (secondHalf) {
        recordLine = line;
        length = 0;
      } else if (isBreak) {
        steps.push(ok(closeRecord()));
        recordLine = line;
      } else if (character === parted) closeField();
      else if (place === 'behind-quote') {
        if (character !== '"') {
          const column = fields.length + 1;
          steps.push(stop({ kind: 'text-after-quote', line, column }));
          return steps;
        }
        field += '"';
        place = 'quoted';
      } else if (character === '"') {
        if (place === 'bare') {
          steps.push(stop({ kind: 'quote-inside', line, column: fields.length + 1 }));
          return steps;
        }
        place = 'quoted';
      } else {
        field += character;
        place = 'bare';
      }
    }
    return steps;
  };

  const begin = (): readonly Step[] => {
    const text = opening;
    opening = '';
    separator = separatorOf(text);
    return read(text, separator);
  };

  return {
    separator: () => separator,
    take: (text) => {
      if (broken) return [];
      if (separator !== null) return read(text, separator);
      // Only what came is looked through, so that many small pieces cost no more than a large one.
      const scan = firstBreak(text, openingQuoted);
      opening += text;
      openingQuoted = scan.quoted;
      return scan.at !== null || opening.length > longestRecord ? begin() : [];
    },
    end: () => {
      if (broken) return [];
      const steps = separator === null ? [...begin()] : [];
      if (broken) return steps;
      if (place === 'quoted') {
        return [
          ...steps,
          stop({ kind: 'quote-open', line: recordLine, column: fields.length + 1 }),
        ];
      }
      if (length > 0) steps.push(ok(closeRecord()));
      return steps;
    },
  };
};

/** Where the first line break stands outside quotes, or null, and whether the text ends inside quotes. */
const firstBreak = (
  text: string,
  quotedBefore: boolean,
): { readonly at: number | null; readonly quoted: boolean } => {
  let quoted = quotedBefore;
  for (let index = 0; index < text.length; index += 1) {
    const character = text[index];
    if (character === '"') quoted = !quoted;
    else if (!quoted && (character === '\n' || character === '\r')) return { at: index, quoted };
  }
  return { at: null, quoted };
};

const separatorOf = (text: string): CsvSeparator => {
  const { at } = firstBreak(text, false);
  const first = text.slice(0, at ?? text.length).replaceAll(/"[^"]*"/g, '');
  return separators.find((separator) => first.includes(separator)) ?? ',';
};
