/** The journal of a cellar: what people did to its records, with who and when. Rows are only ever added. */

export const journalTable = `CREATE TABLE journal (
  id INTEGER PRIMARY KEY AUTOINCREMENT, at REAL NOT NULL, by TEXT NOT NULL, act TEXT NOT NULL,
  about TEXT NOT NULL, note TEXT, facts TEXT NOT NULL) STRICT`;

export const journalActs = [
  'kept-days-set',
  'legal-hold-set',
  'legal-hold-lifted',
  'history-filled',
  'archive-taken',
  'receiver-added',
  'receiver-removed',
  'receiver-duty-set',
  'receiver-heartbeat-set',
  'receiver-secret-replaced',
  'receiver-tested',
  'dead-letters-sent-again',
] as const;

export type JournalEntry = {
  /** Unix seconds. */
  readonly at: number;
  /** Title of the key with which it was done. */
  readonly by: string;
  readonly act: (typeof journalActs)[number];
  /** The vessel, batch, receiver or cellar that it was done to. */
  readonly about: string;
  readonly note: string | null;
  /** Figures of the act, such as how many readings came of it. */
  readonly facts: Readonly<Record<string, string | number | null>>;
};

export const putJournal = (sql: SqlStorage, entry: JournalEntry): void => {
  sql.exec(
    'INSERT INTO journal (at, by, act, about, note, facts) VALUES (?, ?, ?, ?, ?, ?)',
    entry.at,
    entry.by,
    entry.act,
    entry.about,
    entry.note,
    JSON.stringify(entry.facts),
  );
};

type Row = Omit<JournalEntry, 'act' | 'facts'> & { act: string; facts: string };

/** Newest first. */
export const recentJournal = (sql: SqlStorage, limit: number): readonly JournalEntry[] =>
  sql
    .exec<Row>(
      'SELECT at, by, act, about, note, facts FROM journal ORDER BY id DESC LIMIT ?',
      limit,
    )
    .toArray()
    .map((row) => ({
      ...row,
      act: row.act as JournalEntry['act'],
      facts: JSON.parse(row.facts) as JournalEntry['facts'],
    }));
