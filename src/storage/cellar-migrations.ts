import { documentTable } from './document-table.ts';
import type { Migration } from './migrations.ts';

export const cellarMigrations: readonly Migration[] = [
  {
    version: 1,
    statements: [
      documentTable,
      'CREATE TABLE vessel (vessel TEXT PRIMARY KEY, body TEXT NOT NULL) STRICT, WITHOUT ROWID',
      `CREATE TABLE batch (
         batch TEXT PRIMARY KEY, vessel TEXT NOT NULL, body TEXT NOT NULL,
         final_status TEXT) STRICT, WITHOUT ROWID`,
      `CREATE TABLE access_key (
         id TEXT PRIMARY KEY, hash TEXT NOT NULL UNIQUE, title TEXT NOT NULL, role TEXT NOT NULL,
         vessels TEXT, created_at REAL NOT NULL, revoked_at REAL) STRICT`,
      `CREATE TABLE session (
         hash TEXT PRIMARY KEY, key_id TEXT NOT NULL REFERENCES access_key (id),
         expires_at REAL NOT NULL) STRICT`,
      `CREATE TABLE news (
         seq INTEGER PRIMARY KEY AUTOINCREMENT, id TEXT NOT NULL UNIQUE, at REAL NOT NULL,
         body TEXT NOT NULL) STRICT`,
      `CREATE TABLE standing_alarm (
         vessel TEXT NOT NULL, alarm TEXT NOT NULL, body TEXT NOT NULL,
         PRIMARY KEY (vessel, alarm)) STRICT, WITHOUT ROWID`,
      `CREATE TABLE receiver (
         id TEXT PRIMARY KEY, title TEXT NOT NULL, url TEXT NOT NULL, secret TEXT NOT NULL,
         created_at REAL NOT NULL, tries INTEGER NOT NULL DEFAULT 0,
         next_try REAL NOT NULL DEFAULT 0, last_outcome TEXT) STRICT`,
      `CREATE TABLE delivery (
         id INTEGER PRIMARY KEY AUTOINCREMENT, receiver TEXT NOT NULL REFERENCES receiver (id),
         news_id TEXT NOT NULL, first_try REAL, given_up_at REAL) STRICT`,
      'CREATE INDEX delivery_queue ON delivery (receiver, id) WHERE given_up_at IS NULL',
    ],
  },
  {
    version: 2,
    statements: ['ALTER TABLE batch ADD COLUMN legal_hold INTEGER NOT NULL DEFAULT 0'],
  },
];
