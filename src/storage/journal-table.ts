/**
 * The journal of a cellar: what people did, with who and when. Rows are only ever added: the database itself refuses
 * to change or remove one. Keys and secrets are taken out before a row is written.
 */
import type { JournalEntry, JournalRow } from './journal-entry.ts';
import { redacted } from './redacted.ts';

export const journalTable = `CREATE TABLE journal (
  id INTEGER PRIMARY KEY AUTOINCREMENT, at REAL NOT NULL, by TEXT NOT NULL, act TEXT NOT NULL,
  about TEXT NOT NULL, note TEXT, facts TEXT NOT NULL) STRICT`;

/** Refuses whatever would rewrite what was written down. */
export const journalGuards: readonly string[] = ['UPDATE', 'DELETE'].map(
  (change) =>
    `CREATE TRIGGER journal_refuses_${change.toLowerCase()} BEFORE ${change} ON journal
       BEGIN SELECT RAISE(ABORT, 'the journal is only ever added to'); END`,
);

export const putJournal = (sql: SqlStorage, entry: JournalEntry): void => {
  sql.exec(
    'INSERT INTO journal (at, by, act, about, note, facts) VALUES (?, ?, ?, ?, ?, ?)',
    entry.at,
    redacted(entry.by),
    entry.act,
    redacted(entry.about),
    entry.note === null ? null : redacted(entry.note),
    redacted(JSON.stringify(entry.facts)),
  );
};

type Row = Omit<JournalRow, 'act' | 'facts'> & { act: string; facts: string };

const columns = 'id, at, by, act, about, note, facts';

const rowOf = (row: Row): JournalRow => ({
  ...row,
  act: row.act as JournalEntry['act'],
  facts: JSON.parse(row.facts) as JournalEntry['facts'],
});

/** Newest first; those before a place where one is given. */
export const recentJournal = (
  sql: SqlStorage,
  limit: number,
  before: number | null,
): readonly JournalRow[] =>
  sql
    .exec<Row>(
      `SELECT ${columns} FROM journal WHERE id < ? ORDER BY id DESC LIMIT ?`,
      before ?? Number.MAX_SAFE_INTEGER,
      limit,
    )
    .toArray()
    .map(rowOf);

/** Oldest first, those after a place: for an export in pages. */
export const journalAfter = (
  sql: SqlStorage,
  after: number,
  limit: number,
): readonly JournalRow[] =>
  sql
    .exec<Row>(`SELECT ${columns} FROM journal WHERE id > ? ORDER BY id LIMIT ?`, after, limit)
    .toArray()
    .map(rowOf);

/** Unix seconds of the latest entry of an act; null if there is none. */
export const lastEntryOf = (sql: SqlStorage, act: JournalEntry['act']): number | null =>
  sql.exec<{ at: number | null }>('SELECT max(at) AS at FROM journal WHERE act = ?', act).one().at;
