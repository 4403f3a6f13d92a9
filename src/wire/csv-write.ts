/**
 * Writes rows as CSV (RFC 4180): CRLF after every row, a cell quoted where it holds a comma, a
 * quote or a line break, a quote within doubled. Text that a spreadsheet would run as a formula is
 * given a leading apostrophe, after OWASP, "CSV Injection": a name or a note typed by one person is
 * opened by another. Numbers are written plainly, so that a negative one stays a number.
 * Pure: no I/O, no clock.
 */
import { fail, ok, type Result } from '../result.ts';

/** RFC 4180 section 3, with the header row that section 2.3 allows. */
export const csvMediaType = 'text/csv; charset=utf-8; header=present';

/** Null is an empty cell. */
export type CsvCell = string | number | null;

export type CsvFault =
  | { readonly kind: 'not-finite'; readonly column: number; readonly found: number }
  | { readonly kind: 'no-column' };

/** `column` in a fault is counted from 0. */
export const csvFaultInWords = (fault: CsvFault): string => {
  switch (fault.kind) {
    case 'not-finite':
      return `column ${fault.column + 1} is ${fault.found}; leave the cell empty where there is no number`;
    case 'no-column':
      return 'the row has no column; give it at least one';
  }
};

/**
 * OWASP's list (= + - @ tab, carriage return, line feed) and the full-width forms of its signs. Signs
 * after leading blanks are caught too: some spreadsheets trim a cell before they read it.
 */
const formula = /^(?:[\t\r\n]|\s*[=+\-@＝＋－＠])/;

const quotedWhereNeeded = (text: string): string =>
  /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;

const written = (cell: CsvCell): string => {
  if (cell === null) return '';
  if (typeof cell === 'number') return String(cell);
  return quotedWhereNeeded(formula.test(cell) ? `'${cell}` : cell);
};

/** One row with its line end. */
export const csvRow = (cells: readonly CsvCell[]): Result<string, CsvFault> => {
  if (cells.length === 0) return fail({ kind: 'no-column' });
  for (const [column, cell] of cells.entries()) {
    if (typeof cell === 'number' && !Number.isFinite(cell)) {
      return fail({ kind: 'not-finite', column, found: cell });
    }
  }
  // A row of one empty cell is quoted: as a blank line many readers would skip it.
  return ok(`${cells.map(written).join(',') || '""'}\r\n`);
};
