/** Keys and page sessions of one cellar. Only SHA-256 hashes are kept, as hexadecimal text. */
import type { Grant, KeyListing, Role } from './access.ts';

type KeyRow = {
  id: string;
  title: string;
  role: string;
  vessels: string | null;
  created_at: number;
  revoked_at: number | null;
};

const grantOf = (row: KeyRow): Grant => ({
  keyId: row.id,
  title: row.title,
  role: row.role as Role,
  vessels: row.vessels === null ? null : (JSON.parse(row.vessels) as string[]),
});

export const putKey = (sql: SqlStorage, grant: Grant, hash: string, now: number): void => {
  sql.exec(
    'INSERT INTO access_key (id, hash, title, role, vessels, created_at) VALUES (?, ?, ?, ?, ?, ?)',
    grant.keyId,
    hash,
    grant.title,
    grant.role,
    grant.vessels === null ? null : JSON.stringify(grant.vessels),
    now,
  );
};

export const grantOfKey = (sql: SqlStorage, hash: string): Grant | null => {
  const row = sql
    .exec<KeyRow>('SELECT * FROM access_key WHERE hash = ? AND revoked_at IS NULL', hash)
    .toArray()[0];
  return row === undefined ? null : grantOf(row);
};

export const listKeys = (sql: SqlStorage): readonly KeyListing[] =>
  sql
    .exec<KeyRow>('SELECT * FROM access_key ORDER BY created_at, id')
    .toArray()
    .map((row) => ({ ...grantOf(row), createdAt: row.created_at, revokedAt: row.revoked_at }));

export const countWorkingKeepers = (sql: SqlStorage): number =>
  sql
    .exec<{ count: number }>(
      `SELECT count(*) AS count FROM access_key WHERE role = 'keeper' AND revoked_at IS NULL`,
    )
    .one().count;

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
        WHERE session.hash = ? AND session.expires_at > ? AND access_key.revoked_at IS NULL`,
      hash,
      now,
    )
    .toArray()[0];
  return row === undefined ? null : grantOf(row);
};

export const removeSession = (sql: SqlStorage, hash: string): void => {
  sql.exec('DELETE FROM session WHERE hash = ?', hash);
};
