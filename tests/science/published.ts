/** Reads a table of fixtures/published and answers only numbers that are there. */
import { readFileSync } from 'node:fs';

export type Row = { readonly read: (column: string) => number };

export const published = (file: string): readonly Row[] => {
  const text = readFileSync(new URL(`../../fixtures/published/${file}`, import.meta.url), 'utf8');
  const [head = '', ...lines] = text
    .replace(/^\uFEFF/, '')
    .trim()
    .split(/\r?\n/);
  const columns = head.split(',');
  return lines.map((line) => {
    const cells = line.split(',');
    return {
      read: (column) => {
        const cell = cells[columns.indexOf(column)];
        const value = Number(cell);
        if (cell === undefined || cell === '' || !Number.isFinite(value)) {
          throw new Error(`${file} has no number in column ${column} of row ${line}`);
        }
        return value;
      },
    };
  });
};
