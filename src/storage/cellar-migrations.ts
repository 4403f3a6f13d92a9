import { documentTable } from './document-table.ts';
import { journalGuards, journalTable } from './journal-table.ts';
import type { Migration } from './migrations.ts';
import { type Message, rankOf, topicOf } from './news.ts';

/** Deliveries that an older Gyleward queued learn their topic, their rank and when they were queued. */
const describeDeliveries = (sql: SqlStorage): void => {
  const rows = sql
    .exec<{ id: number; at: number; body: string }>(
      `SELECT delivery.id, at, body FROM delivery JOIN news ON news.id = delivery.news_id`,
    )
    .toArray();
  for (const { id, at, body } of rows) {
    const message = JSON.parse(body) as Message;
    sql.exec(
      'UPDATE delivery SET topic = ?, rank = ?, queued_at = ? WHERE id = ?',
      topicOf(message),
      rankOf(message),
      at,
      id,
    );
  }
};

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
  {
    version: 3,
    statements: [
      'ALTER TABLE receiver ADD COLUMN held_until REAL NOT NULL DEFAULT 0',
      'ALTER TABLE receiver ADD COLUMN former_secret TEXT',
      'ALTER TABLE receiver ADD COLUMN former_until REAL',
      `ALTER TABLE delivery ADD COLUMN topic TEXT NOT NULL DEFAULT ''`,
      'ALTER TABLE delivery ADD COLUMN rank INTEGER NOT NULL DEFAULT 0',
      'ALTER TABLE delivery ADD COLUMN queued_at REAL NOT NULL DEFAULT 0',
      'ALTER TABLE delivery ADD COLUMN tries INTEGER NOT NULL DEFAULT 0',
      'ALTER TABLE delivery ADD COLUMN last_outcome TEXT',
      'ALTER TABLE delivery ADD COLUMN message TEXT',
      'DROP INDEX delivery_queue',
      'CREATE INDEX delivery_queue ON delivery (receiver, topic, id) WHERE given_up_at IS NULL',
    ],
    move: describeDeliveries,
  },
  {
    version: 4,
    statements: [
      'ALTER TABLE access_key ADD COLUMN expires_at REAL',
      'ALTER TABLE access_key ADD COLUMN last_used_at REAL',
    ],
  },
  { version: 5, statements: [journalTable] },
  {
    version: 6,
    statements: [
      'ALTER TABLE receiver ADD COLUMN duty TEXT',
      'ALTER TABLE standing_alarm ADD COLUMN calls_since REAL',
      `UPDATE standing_alarm SET calls_since = body ->> '$.raisedAt'
        WHERE body ->> '$.state' = 'unacknowledged'`,
      `CREATE TABLE called (
         receiver TEXT NOT NULL REFERENCES receiver (id), vessel TEXT NOT NULL,
         alarm TEXT NOT NULL, since REAL NOT NULL,
         PRIMARY KEY (receiver, vessel, alarm)) STRICT, WITHOUT ROWID`,
    ],
  },
  {
    version: 7,
    statements: [
      'ALTER TABLE receiver ADD COLUMN beat_minutes REAL',
      'ALTER TABLE receiver ADD COLUMN last_beat REAL',
    ],
  },
  { version: 8, statements: journalGuards },
  {
    version: 9,
    statements: [
      `ALTER TABLE receiver ADD COLUMN kind TEXT NOT NULL DEFAULT 'webhook'`,
      'ALTER TABLE receiver ADD COLUMN details TEXT',
      `CREATE TABLE acknowledge_link (
         hash TEXT PRIMARY KEY, receiver TEXT NOT NULL, vessel TEXT NOT NULL, alarm TEXT NOT NULL,
         occurrence INTEGER NOT NULL, expires_at REAL NOT NULL, used_at REAL) STRICT, WITHOUT ROWID`,
    ],
  },
];
