/**
 * One queue per receiver: a row per piece of news, removed once delivered, marked once given up.
 * The receiver carries the time of its next try, so a dead one delays no other.
 */
import type { News } from './news.ts';

export type Receiver = {
  readonly id: string;
  readonly title: string;
  readonly url: string;
};

export type ReceiverListing = Receiver & {
  /** Unix seconds. */
  readonly createdAt: number;
  readonly waiting: number;
  readonly givenUp: number;
  /** What the last try came to, in words; null before the first. */
  readonly lastOutcome: string | null;
};

export type Delivery = {
  readonly id: number;
  readonly receiver: Receiver;
  readonly secret: string;
  /** Failed tries at the head of this receiver's queue. */
  readonly tries: number;
  /** Unix seconds of the first try of this piece of news; null before it. */
  readonly firstTry: number | null;
  readonly news: News;
};

export const putReceiver = (
  sql: SqlStorage,
  receiver: Receiver,
  secret: string,
  now: number,
): void => {
  sql.exec(
    'INSERT INTO receiver (id, title, url, secret, created_at) VALUES (?, ?, ?, ?, ?)',
    receiver.id,
    receiver.title,
    receiver.url,
    secret,
    now,
  );
};

/** True if there was such a receiver; its queue goes with it. */
export const removeReceiver = (sql: SqlStorage, id: string): boolean => {
  sql.exec('DELETE FROM delivery WHERE receiver = ?', id);
  return sql.exec('DELETE FROM receiver WHERE id = ? RETURNING id', id).toArray().length > 0;
};

export const listReceivers = (sql: SqlStorage): readonly ReceiverListing[] =>
  sql
    .exec<{
      id: string;
      title: string;
      url: string;
      created_at: number;
      last_outcome: string | null;
      waiting: number;
      given_up: number;
    }>(
      `SELECT receiver.id, title, url, created_at, last_outcome,
              count(delivery.id) FILTER (WHERE given_up_at IS NULL) AS waiting,
              count(given_up_at) AS given_up
         FROM receiver LEFT JOIN delivery ON delivery.receiver = receiver.id
        GROUP BY receiver.id ORDER BY created_at, receiver.id`,
    )
    .toArray()
    .map((row) => ({
      id: row.id,
      title: row.title,
      url: row.url,
      createdAt: row.created_at,
      waiting: row.waiting,
      givenUp: row.given_up,
      lastOutcome: row.last_outcome,
    }));

/** Queues a piece of news, already in the news table, for every receiver. */
export const queueForAll = (sql: SqlStorage, newsId: string): void => {
  sql.exec('INSERT INTO delivery (receiver, news_id) SELECT id, ? FROM receiver', newsId);
};

const queueHeads = `SELECT min(delivery.id) FROM delivery WHERE given_up_at IS NULL GROUP BY receiver`;

/** The head of each receiver's queue that is due. */
export const dueDeliveries = (sql: SqlStorage, now: number): readonly Delivery[] =>
  sql
    .exec<{
      id: number;
      receiver: string;
      title: string;
      url: string;
      secret: string;
      tries: number;
      first_try: number | null;
      body: string;
    }>(
      `SELECT delivery.id, receiver.id AS receiver, title, url, secret, tries, first_try, news.body
         FROM delivery JOIN receiver ON receiver.id = delivery.receiver
                       JOIN news ON news.id = delivery.news_id
        WHERE delivery.id IN (${queueHeads}) AND receiver.next_try <= ?`,
      now,
    )
    .toArray()
    .map((row) => ({
      id: row.id,
      receiver: { id: row.receiver, title: row.title, url: row.url },
      secret: row.secret,
      tries: row.tries,
      firstTry: row.first_try,
      news: JSON.parse(row.body) as News,
    }));

/** Unix seconds of the next try of any receiver; null while all queues are empty. */
export const deliveryDue = (sql: SqlStorage): number | null =>
  sql
    .exec<{ due: number | null }>(
      `SELECT min(receiver.next_try) AS due FROM receiver
        WHERE EXISTS (SELECT 1 FROM delivery
                       WHERE delivery.receiver = receiver.id AND given_up_at IS NULL)`,
    )
    .one().due;

export const markDelivered = (sql: SqlStorage, delivery: Delivery, outcome: string): void => {
  sql.exec('DELETE FROM delivery WHERE id = ?', delivery.id);
  sql.exec(
    'UPDATE receiver SET tries = 0, next_try = 0, last_outcome = ? WHERE id = ?',
    outcome,
    delivery.receiver.id,
  );
};

export const markFailed = (
  sql: SqlStorage,
  delivery: Delivery,
  outcome: string,
  times: { readonly firstTry: number; readonly nextTry: number; readonly givenUpAt: number | null },
): void => {
  sql.exec(
    'UPDATE delivery SET first_try = ?, given_up_at = ? WHERE id = ?',
    times.firstTry,
    times.givenUpAt,
    delivery.id,
  );
  sql.exec(
    'UPDATE receiver SET tries = tries + 1, next_try = ?, last_outcome = ? WHERE id = ?',
    times.nextTry,
    outcome,
    delivery.receiver.id,
  );
};
