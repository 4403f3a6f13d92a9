/**
 * Schema migrations of one object: an append-only list, applied in order inside one transaction.
 * The version stands in a table of ours, since the platform refuses `PRAGMA user_version`.
 */

export type Migration = {
  /** 1, 2, 3 and so on, without gaps. */
  readonly version: number;
  readonly statements: readonly string[];
  /** Carries rows over, after the statements and in the same transaction. */
  readonly move?: (sql: SqlStorage) => void;
};

/** Objects that were seen to have tables. Tables stay, so that each call need not ask again. */
const withTables = new WeakSet<SqlStorage>();

/** True once the object has tables: an object that was only asked for has written nothing. */
export const hasTables = (sql: SqlStorage): boolean => {
  if (withTables.has(sql)) return true;
  const found =
    sql.exec(`SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = 'migration'`).toArray()
      .length > 0;
  if (found) withTables.add(sql);
  return found;
};

const storedVersion = (sql: SqlStorage): number => {
  if (!hasTables(sql)) return 0;
  const row = sql
    .exec<{ version: number }>('SELECT coalesce(max(version), 0) AS version FROM migration')
    .one();
  return row.version;
};

/** Brings the object's tables to the newest version. Throws if a newer Gyleward wrote them. */
export const migrate = (storage: DurableObjectStorage, migrations: readonly Migration[]): void => {
  migrations.forEach((migration, index) => {
    if (migration.version !== index + 1)
      throw new Error(`migration ${migration.version} stands at place ${index + 1} of the list`);
  });
  const stored = storedVersion(storage.sql);
  if (stored > migrations.length)
    throw new Error(
      `the stored data have schema version ${stored}, this Gyleward knows up to ${migrations.length}: install the newer version again`,
    );
  if (stored === migrations.length) return;
  storage.transactionSync(() => {
    storage.sql.exec('CREATE TABLE IF NOT EXISTS migration (version INTEGER PRIMARY KEY) STRICT');
    for (const migration of migrations.slice(stored)) {
      for (const statement of migration.statements) storage.sql.exec(statement);
      migration.move?.(storage.sql);
      storage.sql.exec('INSERT INTO migration (version) VALUES (?)', migration.version);
    }
  });
};
