/**
 * A number as a logger or a spreadsheet writes it into a field. A decimal comma is understood only where commas do
 * not part the columns, and one file keeps to one decimal mark, since "1.052" and "1,052" side by side mean that one
 * of them has a separator of thousands. Pure: no I/O, no clock.
 */
import { fail, ok, type Result } from '../result.ts';
import type { CsvSeparator } from './csv-read-records.ts';

export type DecimalMark = '.' | ',';

/** The decimal mark that a file has shown, and on which line first; null until it has shown one. */
export type ShownMark = { readonly mark: DecimalMark; readonly line: number } | null;

export type CsvNumberFault =
  | { readonly kind: 'not-a-number' }
  /** Both marks, or one twice: a separator of thousands is among them. */
  | { readonly kind: 'thousands' }
  | { readonly kind: 'comma-among-commas' }
  | { readonly kind: 'mark-changes'; readonly mark: DecimalMark; readonly firstLine: number };

export type CsvNumber = {
  readonly value: number;
  /** Null where the field has no decimal mark. */
  readonly mark: DecimalMark | null;
};

const number = /^[+-]?(?:\d+[.,]?\d*|[.,]\d+)(?:[eE][+-]?\d{1,3})?$/;
const grouped = /^[+-]?\d{1,3}(?:[.,' \u00a0\u202f]\d{3})+(?:[.,]\d+)?$/;

export const csvNumber = (
  text: string,
  separator: CsvSeparator,
  shown: ShownMark,
): Result<CsvNumber, CsvNumberFault> => {
  // Spreadsheets write a true minus sign now and then.
  const plain = text.trim().replace(/^\u2212/, '-');
  if (!number.test(plain)) {
    return fail({ kind: grouped.test(plain) ? 'thousands' : 'not-a-number' });
  }
  const mark = plain.includes(',') ? ',' : plain.includes('.') ? '.' : null;
  if (mark === ',' && separator === ',') return fail({ kind: 'comma-among-commas' });
  if (mark !== null && shown !== null && mark !== shown.mark) {
    return fail({ kind: 'mark-changes', mark: shown.mark, firstLine: shown.line });
  }
  const value = Number(plain.replace(',', '.'));
  return Number.isFinite(value) ? ok({ value, mark }) : fail({ kind: 'not-a-number' });
};
