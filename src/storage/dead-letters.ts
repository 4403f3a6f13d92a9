/** Messages that were given up: what they say, since when, and why; they can be sent again. */
import { messageText } from './message-text.ts';
import type { Message } from './news.ts';

export type DeadLetter = {
  readonly id: number;
  /** The first line of what it says. */
  readonly headline: string;
  /** Unix seconds. */
  readonly queuedAt: number;
  readonly givenUpAt: number;
  readonly tries: number;
  /** What its last try came to, in words; null where an older Gyleward did not write it down. */
  readonly lastOutcome: string | null;
};

/** Dead letters kept of one receiver; beyond it the oldest are dropped. Chosen by us: weeks of silence. */
const mostKept = 1000;

/** Newest first. */
export const deadLetters = (sql: SqlStorage, receiver: string): readonly DeadLetter[] =>
  sql
    .exec<{
      id: number;
      queued_at: number;
      given_up_at: number;
      tries: number;
      last_outcome: string | null;
      body: string;
    }>(
      `SELECT delivery.id, queued_at, given_up_at, tries, last_outcome,
              coalesce(message, news.body) AS body
         FROM delivery LEFT JOIN news ON news.id = delivery.news_id
        WHERE receiver = ? AND given_up_at IS NOT NULL ORDER BY delivery.id DESC`,
      receiver,
    )
    .toArray()
    .map((row) => ({
      id: row.id,
      headline: messageText(JSON.parse(row.body) as Message).headline,
      queuedAt: row.queued_at,
      givenUpAt: row.given_up_at,
      tries: row.tries,
      lastOutcome: row.last_outcome,
    }));

/** Queues one dead letter, or all of a receiver's, again under the same ids; says how many. */
export const sendAgain = (
  sql: SqlStorage,
  receiver: string,
  which: number | 'all',
  now: number,
): number =>
  sql
    .exec(
      `UPDATE delivery SET given_up_at = NULL, tries = 0, first_try = NULL, queued_at = ?1
        WHERE receiver = ?2 AND given_up_at IS NOT NULL AND (?3 IS NULL OR id = ?3) RETURNING id`,
      now,
      receiver,
      which === 'all' ? null : which,
    )
    .toArray().length;

export const dropOldDeadLetters = (sql: SqlStorage, receiver: string): void => {
  sql.exec(
    `DELETE FROM delivery WHERE receiver = ?1 AND given_up_at IS NOT NULL AND id <= (
       SELECT id FROM delivery WHERE receiver = ?1 AND given_up_at IS NOT NULL
        ORDER BY id DESC LIMIT 1 OFFSET ?2)`,
    receiver,
    mostKept,
  );
};
