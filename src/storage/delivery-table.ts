/**
 * The queue of each receiver: a row per message, removed once delivered, marked once given up.
 * Messages of one topic (one alarm) keep their order; others pass each other, so that a message which a
 * receiver refuses holds up no other alarm. A message that was never tried is due at once, even while the
 * receiver is left in peace after a failure: a dead one delays nobody, and one that is back is noticed.
 */
import { type Message, rankOf, topicOf } from './news.ts';

export type Delivery = {
  readonly id: number;
  readonly receiver: string;
  /** Failed tries of this receiver since it last took something. */
  readonly receiverTries: number;
  /** Unix seconds at which the message was queued. */
  readonly queuedAt: number;
  readonly message: Message;
};

/** Queues a message for one receiver; one that stands in the history already is not written again. */
export const queueFor = (
  sql: SqlStorage,
  receiver: string,
  message: Message,
  kept: 'in-history' | 'with-delivery',
  now: number,
): void => {
  sql.exec(
    `INSERT INTO delivery (receiver, news_id, topic, rank, queued_at, message)
       VALUES (?, ?, ?, ?, ?, ?)`,
    receiver,
    message.id,
    topicOf(message),
    rankOf(message),
    now,
    kept === 'in-history' ? null : JSON.stringify(message),
  );
};

/** Of what waits, the first of each topic; then when the receiver may be tried with it. */
const heads = `head AS (
  SELECT delivery.id, delivery.receiver, delivery.tries, rank,
         max(held_until, CASE WHEN delivery.tries = 0 THEN 0 ELSE next_try END) AS due
    FROM delivery JOIN receiver ON receiver.id = delivery.receiver
   WHERE given_up_at IS NULL
     AND NOT EXISTS (SELECT 1 FROM delivery AS earlier
                      WHERE earlier.receiver = delivery.receiver AND earlier.topic = delivery.topic
                        AND earlier.given_up_at IS NULL AND earlier.id < delivery.id))`;

/** When each receiver that has something waiting is next tried, in Unix seconds. */
export const receiversDue = (
  sql: SqlStorage,
): readonly { readonly receiver: string; readonly due: number }[] =>
  sql
    .exec<{ receiver: string; due: number }>(
      `WITH ${heads} SELECT receiver, min(due) AS due FROM head GROUP BY receiver`,
    )
    .toArray();

/** What one receiver is tried with next: what was tried least, then what is most urgent, then the oldest. */
export const nextDelivery = (sql: SqlStorage, receiver: string, now: number): Delivery | null => {
  const row = sql
    .exec<{
      id: number;
      receiver: string;
      receiver_tries: number;
      queued_at: number;
      body: string;
    }>(
      `WITH ${heads}
       SELECT delivery.id, delivery.receiver, receiver.tries AS receiver_tries, queued_at,
              coalesce(message, news.body) AS body
         FROM head JOIN delivery ON delivery.id = head.id
                   JOIN receiver ON receiver.id = head.receiver
                   LEFT JOIN news ON news.id = delivery.news_id
        WHERE head.receiver = ? AND due <= ?
        ORDER BY head.tries, head.rank DESC, head.id LIMIT 1`,
      receiver,
      now,
    )
    .toArray()[0];
  return row === undefined
    ? null
    : {
        id: row.id,
        receiver: row.receiver,
        receiverTries: row.receiver_tries,
        queuedAt: row.queued_at,
        message: JSON.parse(row.body) as Message,
      };
};

export const markDelivered = (
  sql: SqlStorage,
  { id, receiver }: Delivery,
  outcome: string,
): void => {
  sql.exec('DELETE FROM delivery WHERE id = ?', id);
  sql.exec(
    'UPDATE receiver SET tries = 0, next_try = 0, held_until = 0, last_outcome = ? WHERE id = ?',
    outcome,
    receiver,
  );
};

export type FailedTry = {
  readonly outcome: string;
  /** Unix seconds. */
  readonly at: number;
  readonly nextTry: number;
  /** Until then the receiver has asked for silence; null where it asked for nothing. */
  readonly heldUntil: number | null;
  readonly givenUpAt: number | null;
};

export const markFailed = (
  sql: SqlStorage,
  { id, receiver }: Delivery,
  failed: FailedTry,
): void => {
  sql.exec(
    `UPDATE delivery SET tries = tries + 1, first_try = coalesce(first_try, ?), given_up_at = ?,
            last_outcome = ? WHERE id = ?`,
    failed.at,
    failed.givenUpAt,
    failed.outcome,
    id,
  );
  sql.exec(
    `UPDATE receiver SET tries = tries + 1, next_try = ?, held_until = coalesce(?, held_until),
            last_outcome = ? WHERE id = ?`,
    failed.nextTry,
    failed.heldUntil,
    failed.outcome,
    receiver,
  );
};
