/**
 * Keys and page sessions of one cellar. Only SHA-256 hashes are kept, as hexadecimal text. The last use of a key is
 * written at most once an hour, so that a request costs no row.
 */
import type { Grant, KeyListing, Role } from './access.ts';

type KeyRow = {
  id: string;
  title: string;
  role: string;
  vessels: string | null;
  created_at: number;
  revoked_at: number | null;
  expires_at: number | null;
  last_used_at: number | null;
};

/** Chosen by us: fine enough to see which keys are idle, and at most 24 rows a day for a key. */
const usedAnewSeconds = 3600;

/** Notes that a key has opened the cellar. */
const noteUse = (sql: SqlStorage, { id, last_used_at }: KeyRow, now: number): void => {
  if (last_used_at !== null && now - last_used_at < usedAnewSeconds) return;
  sql.exec('UPDATE access_key SET last_used_at = ? WHERE id = ?', now, id);
};

const grantOf = (row: KeyRow): Grant => ({
  keyId: row.id,
  title: row.title,
  role: row.role as Role,
  vessels: row.vessels === null ? null : (JSON.parse(row.vessels) as string[]),
  expiresAt: row.expires_at,
});

export const putKey = (sql: SqlStorage, grant: Grant, hash: string, now: number): void => {
  sql.exec(
    'INSERT INTO access_key (id, hash, title, role, vessels, created_at, expires_at) VALUES (?, ?, ?, ?, ?, ?, ?)',
    grant.keyId,
    hash,
    grant.title,
    grant.role,
    grant.vessels === null ? null : JSON.stringify(grant.vessels),
    now,
    grant.expiresAt,
  );
};

export const grantOfKey = (sql: SqlStorage, hash: string, now: number): Grant | null => {
  const row = sql
    .exec<KeyRow>(
      `SELECT * FROM access_key
        WHERE hash = ? AND revoked_at IS NULL AND (expires_at IS NULL OR expires_at > ?)`,
      hash,
      now,
    )
    .toArray()[0];
  if (row === undefined) return null;
  noteUse(sql, row, now);
  return grantOf(row);
};

export const listKeys = (sql: SqlStorage): readonly KeyListing[] =>
  sql
    .exec<KeyRow>('SELECT * FROM access_key ORDER BY created_at, id')
    .toArray()
    .map((row) => ({
      ...grantOf(row),
      createdAt: row.created_at,
      revokedAt: row.revoked_at,
      lastUsedAt: row.last_used_at,
    }));

/** Whether a keeper could still get in without this key. */
export const hasOtherKeeper = (sql: SqlStorage, id: string, now: number): boolean =>
  sql
    .exec(
      `SELECT 1 FROM access_key
        WHERE role = 'keeper' AND id <> ? AND revoked_at IS NULL
          AND (expires_at IS NULL OR expires_at > ?)`,
      id,
      now,
    )
    .toArray().length > 0;

export const revokeKey = (sql: SqlStorage, id: string, now: number): void => {
  sql.exec('UPDATE access_key SET revoked_at = ? WHERE id = ? AND revoked_at IS NULL', now, id);
  sql.exec('DELETE FROM session WHERE key_id = ?', id);
};

export const putSession = (
  sql: SqlStorage,
  session: { readonly hash: string; readonly keyId: string; readonly expiresAt: number },
  now: number,
): void => {
  sql.exec('DELETE FROM session WHERE expires_at <= ?', now);
  sql.exec(
    'INSERT INTO session (hash, key_id, expires_at) VALUES (?, ?, ?)',
    session.hash,
    session.keyId,
    session.expiresAt,
  );
};

export const grantOfSession = (sql: SqlStorage, hash: string, now: number): Grant | null => {
  const row = sql
    .exec<KeyRow>(
      `SELECT access_key.* FROM session JOIN access_key ON access_key.id = session.key_id
        WHERE session.hash = ?1 AND session.expires_at > ?2 AND access_key.revoked_at IS NULL
          AND (access_key.expires_at IS NULL OR access_key.expires_at > ?2)`,
      hash,
      now,
    )
    .toArray()[0];
  if (row === undefined) return null;
  noteUse(sql, row, now);
  return grantOf(row);
};

export const removeSession = (sql: SqlStorage, hash: string): void => {
  sql.exec('DELETE FROM session WHERE hash = ?', hash);
};
