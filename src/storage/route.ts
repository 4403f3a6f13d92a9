/** The way to a receiver, read from its row: a webhook, a browser that subscribed, or a mail relay. */
import { bytesFromBase64url } from '../wire/base64url.ts';
import type { MessageTemplate } from '../wire/message-template.ts';

export type WebhookRoute = {
  readonly kind: 'webhook';
  readonly url: string;
  /** The present secret first, then the one that is being replaced. */
  readonly secrets: readonly string[];
};

export type PushRoute = {
  readonly kind: 'push';
  readonly url: string;
  readonly p256dh: Uint8Array;
  readonly auth: Uint8Array;
  /** How a push service reaches whoever runs this: an https: address, or null. */
  readonly contact: string | null;
  /** False once the key of the person who subscribed is revoked or over. */
  readonly isWanted: boolean;
};

export type RelayRoute = {
  readonly kind: 'relay';
  readonly url: string;
  readonly template: MessageTemplate;
};

export type Route = WebhookRoute | PushRoute | RelayRoute;

export const routeKinds = ['webhook', 'push', 'relay'] as const satisfies readonly Route['kind'][];

/** What a browser gave, in base64url, and whose key it was. */
export type PushDetails = {
  readonly p256dh: string;
  readonly auth: string;
  readonly contact: string | null;
  readonly keyId: string;
};

const bytesOf = (text: string): Uint8Array => bytesFromBase64url(text) ?? new Uint8Array(0);

const keyWorks = (sql: SqlStorage, keyId: string, now: number): boolean =>
  sql
    .exec(
      `SELECT 1 FROM access_key WHERE id = ? AND revoked_at IS NULL
          AND (expires_at IS NULL OR expires_at > ?)`,
      keyId,
      now,
    )
    .toArray().length > 0;

export const routeOf = (sql: SqlStorage, id: string, now: number): Route | null => {
  const row = sql
    .exec<{
      kind: string;
      url: string;
      secret: string;
      former_secret: string | null;
      former_until: number | null;
      details: string | null;
    }>(
      'SELECT kind, url, secret, former_secret, former_until, details FROM receiver WHERE id = ?',
      id,
    )
    .toArray()[0];
  if (row === undefined) return null;
  const { url, details } = row;
  if (row.kind === 'push' && details !== null) {
    const { p256dh, auth, contact, keyId } = JSON.parse(details) as PushDetails;
    return {
      kind: 'push',
      url,
      p256dh: bytesOf(p256dh),
      auth: bytesOf(auth),
      contact,
      isWanted: keyWorks(sql, keyId, now),
    };
  }
  if (row.kind === 'relay' && details !== null)
    return { kind: 'relay', url, template: JSON.parse(details) as MessageTemplate };
  const former = row.former_until !== null && row.former_until > now ? row.former_secret : null;
  return { kind: 'webhook', url, secrets: former === null ? [row.secret] : [row.secret, former] };
};
