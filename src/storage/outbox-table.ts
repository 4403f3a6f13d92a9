/** News that must leave this vessel: written in the transaction that caused it, removed once taken. */
import type { VesselNews } from './news.ts';

export const outboxTable = `CREATE TABLE outbox (
  id INTEGER PRIMARY KEY AUTOINCREMENT, news TEXT NOT NULL,
  tries INTEGER NOT NULL DEFAULT 0, next_try REAL NOT NULL) STRICT`;

export type OutboxRow = { readonly id: number; readonly news: VesselNews; readonly tries: number };

export const putNews = (sql: SqlStorage, news: VesselNews, now: number): void => {
  sql.exec(
    'INSERT INTO outbox (news, next_try, put_at) VALUES (?, ?, ?)',
    JSON.stringify(news),
    now,
    Date.now() / 1000,
  );
};

/**
 * The oldest news of all, as many as one relay call carries. Order is kept: while the head waits
 * for its next try, so does everything behind it.
 */
export const pendingNews = (sql: SqlStorage, limit: number): readonly OutboxRow[] =>
  sql
    .exec<{ id: number; news: string; tries: number }>(
      'SELECT id, news, tries FROM outbox ORDER BY id LIMIT ?',
      limit,
    )
    .toArray()
    .map((row) => ({ id: row.id, news: JSON.parse(row.news) as VesselNews, tries: row.tries }));

/** Unix seconds by the wall clock at which the oldest news was put here; null while there is none. */
export const oldestNewsAt = (sql: SqlStorage): number | null =>
  sql.exec<{ at: number | null }>('SELECT min(put_at) AS at FROM outbox').one().at;

/** Unix seconds at which the outbox wants to be emptied; null while it is empty. */
export const outboxDue = (sql: SqlStorage): number | null =>
  sql.exec<{ due: number | null }>('SELECT min(next_try) AS due FROM outbox').one().due;

export const removeNews = (sql: SqlStorage, upTo: number): void => {
  sql.exec('DELETE FROM outbox WHERE id <= ?', upTo);
};

export const postponeNews = (sql: SqlStorage, nextTry: number): void => {
  sql.exec('UPDATE outbox SET tries = tries + 1, next_try = ?', nextTry);
};
