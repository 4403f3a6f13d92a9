/** Single JSON documents of an object by name: its description, its batch, the state of its watch. */

export const documentTable =
  'CREATE TABLE document (name TEXT PRIMARY KEY, body TEXT NOT NULL) STRICT, WITHOUT ROWID';

export const readDocument = <Document>(sql: SqlStorage, name: string): Document | null => {
  const row = sql
    .exec<{ body: string }>('SELECT body FROM document WHERE name = ?', name)
    .toArray()[0];
  return row === undefined ? null : (JSON.parse(row.body) as Document);
};

/** Several documents with one query; a name that has none is left out. An object has a handful of them. */
export const readDocuments = (
  sql: SqlStorage,
  names: readonly string[],
): Readonly<Record<string, unknown>> =>
  Object.fromEntries(
    sql
      .exec<{ name: string; body: string }>('SELECT name, body FROM document')
      .toArray()
      .filter(({ name }) => names.includes(name))
      .map(({ name, body }) => [name, JSON.parse(body) as unknown]),
  );

export const writeDocument = (sql: SqlStorage, name: string, document: unknown): void => {
  sql.exec(
    'INSERT INTO document (name, body) VALUES (?1, ?2) ON CONFLICT (name) DO UPDATE SET body = ?2',
    name,
    JSON.stringify(document),
  );
};

export const removeDocument = (sql: SqlStorage, name: string): void => {
  sql.exec('DELETE FROM document WHERE name = ?', name);
};
