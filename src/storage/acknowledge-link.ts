/**
 * Links by which whoever gets a message acknowledges its alarm, once. A link is bound to the alarm, to its
 * occurrence and to the receiver; its token is made from a secret of the cellar, so that each try of a message
 * carries the same one, and only its hash is kept. Inside the cellar's object.
 */
import { base64urlFromBytes } from '../wire/base64url.ts';
import { readDocument, writeDocument } from './document-table.ts';
import { alarmOf, isOfVessel, type Message } from './news.ts';

/** A day: chosen by us, so that a message found in the morning still works and an old one does not. */
const linkSeconds = 86_400;

const bytesOf = (text: string): Uint8Array<ArrayBuffer> =>
  Uint8Array.from(new TextEncoder().encode(text));

/** SHA-256 in hexadecimal, as keys are kept. */
const hashOf = async (token: string): Promise<string> =>
  new Uint8Array(await crypto.subtle.digest('SHA-256', bytesOf(token))).toHex();

const secretOf = (sql: SqlStorage): string => {
  const known = readDocument<string>(sql, 'link-secret');
  if (known !== null) return known;
  const made = base64urlFromBytes(crypto.getRandomValues(new Uint8Array(32)));
  writeDocument(sql, 'link-secret', made);
  return made;
};

const tokenOf = async (sql: SqlStorage, receiver: string, message: string): Promise<string> => {
  const hmac = { name: 'HMAC', hash: 'SHA-256' };
  const key = await crypto.subtle.importKey('raw', bytesOf(secretOf(sql)), hmac, false, ['sign']);
  const mac = await crypto.subtle.sign(hmac.name, key, bytesOf(`${receiver}\n${message}`));
  return base64urlFromBytes(new Uint8Array(mac));
};

/** The address of a link; null where the message calls for nothing or the public address is not set. */
export const acknowledgeLink = async (
  sql: SqlStorage,
  publicUrl: string | undefined,
  receiver: string,
  message: Message,
  now: number,
): Promise<string | null> => {
  const alarm = alarmOf(message);
  if (publicUrl === undefined || alarm?.state !== 'unacknowledged' || !isOfVessel(message))
    return null;
  const token = await tokenOf(sql, receiver, message.id);
  sql.exec(
    `INSERT INTO acknowledge_link (hash, receiver, vessel, alarm, occurrence, expires_at)
       VALUES (?, ?, ?, ?, ?, ?) ON CONFLICT (hash) DO NOTHING`,
    await hashOf(token),
    receiver,
    message.vessel,
    alarm.alarm,
    alarm.occurrence,
    now + linkSeconds,
  );
  sql.exec('DELETE FROM acknowledge_link WHERE expires_at < ?', now - linkSeconds);
  return `${publicUrl.replace(/\/+$/, '')}/acknowledge/${message.cellar}.${token}`;
};

export type LinkedAlarm = {
  readonly vessel: string;
  readonly alarm: string;
  readonly occurrence: number;
  /** Title of the receiver that got the link. */
  readonly receiver: string;
};

/** What a link leads to; null where there is none such, or it is used or over. */
export const linkedAlarm = async (
  sql: SqlStorage,
  token: string,
  now: number,
): Promise<LinkedAlarm | null> =>
  sql
    .exec<LinkedAlarm>(
      `SELECT vessel, alarm, occurrence, receiver.title AS receiver
         FROM acknowledge_link JOIN receiver ON receiver.id = acknowledge_link.receiver
        WHERE hash = ? AND used_at IS NULL AND expires_at > ?`,
      await hashOf(token),
      now,
    )
    .toArray()[0] ?? null;

/** True for the one who uses it first. */
export const useLink = async (sql: SqlStorage, token: string, now: number): Promise<boolean> =>
  sql
    .exec(
      `UPDATE acknowledge_link SET used_at = ?2
        WHERE hash = ?1 AND used_at IS NULL AND expires_at > ?2 RETURNING hash`,
      await hashOf(token),
      now,
    )
    .toArray().length > 0;
