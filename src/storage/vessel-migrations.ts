import { documentTable } from './document-table.ts';
import type { Migration } from './migrations.ts';
import { outboxTable } from './outbox-table.ts';
import { readingTables } from './reading-table.ts';

export const vesselMigrations: readonly Migration[] = [
  {
    version: 1,
    statements: [
      documentTable,
      ...readingTables,
      `CREATE TABLE news (
         id INTEGER PRIMARY KEY AUTOINCREMENT, at REAL NOT NULL, body TEXT NOT NULL) STRICT`,
      outboxTable,
    ],
  },
];
