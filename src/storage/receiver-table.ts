/** Who is told: a receiver's row holds where it is, its duty, its secrets, and how the telling goes. */
import { type Duty, wholeDuty } from '../monitoring/alarms/duty.ts';
import type { MessageTemplate } from '../wire/message-template.ts';
import type { PushDetails, Route } from './route.ts';

export type Receiver = {
  readonly id: string;
  readonly title: string;
  readonly url: string;
  readonly duty: Duty;
};

export type ReceiverListing = Receiver & {
  readonly kind: Route['kind'];
  /** Unix seconds. */
  readonly createdAt: number;
  readonly waiting: number;
  readonly givenUp: number;
  /** What the last try came to, in words; null before the first. */
  readonly lastOutcome: string | null;
  /** Unix seconds until which the former secret signs as well; null where there is none. */
  readonly formerSecretUntil: number | null;
  /** Minutes between heartbeats; null where there are none. */
  readonly heartbeatMinutes: number | null;
};

/** What leads to a receiver beside its address, by its kind. */
export type Way =
  | { readonly kind: 'webhook'; readonly secret: string }
  | { readonly kind: 'push'; readonly details: PushDetails }
  | { readonly kind: 'relay'; readonly details: MessageTemplate };

export const putReceiver = (
  sql: SqlStorage,
  { id, title, url, duty }: Receiver,
  way: Way,
  now: number,
): void => {
  sql.exec(
    `INSERT INTO receiver (id, title, url, kind, secret, details, duty, created_at)
       VALUES (?, ?, ?, ?, ?, ?, ?, ?)`,
    id,
    title,
    url,
    way.kind,
    way.kind === 'webhook' ? way.secret : '',
    way.kind === 'webhook' ? null : JSON.stringify(way.details),
    JSON.stringify(duty),
    now,
  );
};

/** The browser that has subscribed under this address already; null where none has. */
export const subscribedAt = (sql: SqlStorage, url: string): string | null =>
  sql
    .exec<{ id: string }>(`SELECT id FROM receiver WHERE kind = 'push' AND url = ?`, url)
    .toArray()[0]?.id ?? null;

export const subscriptionCount = (sql: SqlStorage): number =>
  sql.exec<{ count: number }>(`SELECT count(*) AS count FROM receiver WHERE kind = 'push'`).one()
    .count;

/** A browser renews its keys, or another person signs in on it. */
export const renewSubscription = (
  sql: SqlStorage,
  id: string,
  title: string,
  details: PushDetails,
): void => {
  sql.exec(
    'UPDATE receiver SET title = ?, details = ? WHERE id = ?',
    title,
    JSON.stringify(details),
    id,
  );
};

/** True if there was such a receiver; its queue goes with it. */
export const removeReceiver = (sql: SqlStorage, id: string): boolean => {
  sql.exec('DELETE FROM delivery WHERE receiver = ?', id);
  sql.exec('DELETE FROM called WHERE receiver = ?', id);
  return sql.exec('DELETE FROM receiver WHERE id = ? RETURNING id', id).toArray().length > 0;
};

/** A receiver that an older Gyleward wrote has no duty of its own. */
const dutyOf = (text: string | null): Duty =>
  text === null ? wholeDuty : (JSON.parse(text) as Duty);

export type ReceiverDuty = { readonly id: string; readonly duty: Duty };

export const dutiesOf = (sql: SqlStorage): readonly ReceiverDuty[] =>
  sql
    .exec<{ id: string; duty: string | null }>(
      'SELECT id, duty FROM receiver ORDER BY created_at, id',
    )
    .toArray()
    .map(({ id, duty }) => ({ id, duty: dutyOf(duty) }));

export const writeDuty = (sql: SqlStorage, id: string, duty: Duty): void => {
  sql.exec('UPDATE receiver SET duty = ? WHERE id = ?', JSON.stringify(duty), id);
};

/**
 * Puts another secret in the place of the present one, which signs on until `formerUntil`; one that was
 * being replaced already stops at once. False where there is no such receiver.
 */
export const replaceSecret = (
  sql: SqlStorage,
  id: string,
  secret: string,
  formerUntil: number,
): boolean =>
  sql
    .exec(
      `UPDATE receiver SET former_secret = secret, former_until = ?, secret = ?
        WHERE id = ? AND kind = 'webhook' RETURNING id`,
      formerUntil,
      secret,
      id,
    )
    .toArray().length > 0;

/** Addresses of relays and push services can hold keys: of those only the host is shown. */
const shownAddress = (kind: string, url: string): string =>
  kind === 'webhook' ? url : new URL(url).origin;

export const listReceivers = (sql: SqlStorage, now: number): readonly ReceiverListing[] =>
  sql
    .exec<{
      id: string;
      title: string;
      kind: Route['kind'];
      url: string;
      duty: string | null;
      created_at: number;
      last_outcome: string | null;
      former_until: number | null;
      beat_minutes: number | null;
      waiting: number;
      given_up: number;
    }>(
      `SELECT receiver.id, title, kind, url, duty, created_at, receiver.last_outcome, former_until, beat_minutes,
              count(delivery.id) FILTER (WHERE given_up_at IS NULL) AS waiting,
              count(given_up_at) AS given_up
         FROM receiver LEFT JOIN delivery ON delivery.receiver = receiver.id
        GROUP BY receiver.id ORDER BY created_at, receiver.id`,
    )
    .toArray()
    .map((row) => ({
      id: row.id,
      title: row.title,
      kind: row.kind,
      url: shownAddress(row.kind, row.url),
      duty: dutyOf(row.duty),
      createdAt: row.created_at,
      waiting: row.waiting,
      givenUp: row.given_up,
      lastOutcome: row.last_outcome,
      formerSecretUntil:
        row.former_until !== null && row.former_until > now ? row.former_until : null,
      heartbeatMinutes: row.beat_minutes,
    }));
