/** The one row that holds a vessel's tail, with what is known of each channel beside it. */
import type { Marks } from './tail.ts';

export const tailTable = `CREATE TABLE tail (
  id INTEGER PRIMARY KEY CHECK (id = 1), marks TEXT NOT NULL, body BLOB NOT NULL,
  written_at REAL NOT NULL) STRICT`;

export type Tail = { readonly marks: Marks; readonly body: Uint8Array };

export const readTail = (sql: SqlStorage): Tail => {
  const row = sql
    .exec<{ marks: string; body: ArrayBuffer }>('SELECT marks, body FROM tail')
    .toArray()[0];
  return row === undefined
    ? { marks: {}, body: new Uint8Array(0) }
    : { marks: JSON.parse(row.marks) as Marks, body: new Uint8Array(row.body) };
};

export const readMarks = (sql: SqlStorage): Marks => {
  const row = sql.exec<{ marks: string }>('SELECT marks FROM tail').toArray()[0];
  return row === undefined ? {} : (JSON.parse(row.marks) as Marks);
};

export const writeTail = (sql: SqlStorage, { marks, body }: Tail, now: number): void => {
  sql.exec(
    `INSERT INTO tail (id, marks, body, written_at) VALUES (1, ?1, ?2, ?3)
       ON CONFLICT (id) DO UPDATE SET marks = ?1, body = ?2, written_at = ?3`,
    JSON.stringify(marks),
    body.slice().buffer,
    now,
  );
};

/** Unix seconds of the last receipt that was stored; null before the first. */
export const lastReceipt = (sql: SqlStorage): number | null =>
  sql.exec<{ at: number | null }>('SELECT max(written_at) AS at FROM tail').one().at;
