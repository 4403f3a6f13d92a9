/** The schema of a vessel's object. Append-only: what was once applied is never changed. */
import { blockTable } from './block-table.ts';
import { correctionTable } from './correction-table.ts';
import { documentTable } from './document-table.ts';
import { hourlyTable } from './hourly-table.ts';
import type { Migration } from './migrations.ts';
import { moveReadingsIntoBlocks } from './move-readings-into-blocks.ts';
import { outboxTable } from './outbox-table.ts';
import { tailTable } from './tail-table.ts';

export const vesselMigrations: readonly Migration[] = [
  {
    version: 1,
    statements: [
      documentTable,
      `CREATE TABLE reading (
         channel TEXT NOT NULL, time REAL NOT NULL, value REAL NOT NULL,
         PRIMARY KEY (channel, time)) STRICT, WITHOUT ROWID`,
      `CREATE TABLE correction (
         id INTEGER PRIMARY KEY, channel TEXT NOT NULL, time REAL NOT NULL,
         replaced REAL NOT NULL, value REAL NOT NULL, at REAL NOT NULL) STRICT`,
      `CREATE TABLE news (
         id INTEGER PRIMARY KEY AUTOINCREMENT, at REAL NOT NULL, body TEXT NOT NULL) STRICT`,
      outboxTable,
    ],
  },
  {
    version: 2,
    statements: [
      'ALTER TABLE correction RENAME TO correction_by_reading',
      blockTable,
      tailTable,
      hourlyTable,
      correctionTable,
    ],
    move: moveReadingsIntoBlocks,
  },
  /** By the wall clock, for the age of what waits; what an earlier version put there has none. */
  { version: 3, statements: ['ALTER TABLE outbox ADD COLUMN put_at REAL'] },
];
