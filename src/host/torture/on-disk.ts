/**
 * Reads back what lies in the objects' SQLite files, with Node's own SQLite and on a copy, since opening a
 * database may change it. It goes past the worker: what is counted here is what the disk holds.
 */
import { cpSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import type { Channel } from '../../science/units/channel.ts';
import type { News } from '../../storage/news.ts';
import { isOfVessel } from '../../storage/news.ts';
import { type Points, unpackPoints } from '../../storage/packed/points.ts';
import { openTail } from '../../storage/tail.ts';
import type { WritableReading } from '../../wire/senml-write.ts';
import type { HistoryStep } from './compare-alarms.ts';

export type OnDisk = {
  readonly readings: readonly WritableReading[];
  readonly steps: readonly HistoryStep[];
  /** Ids of all news in the cellars' histories. */
  readonly newsIds: ReadonlySet<string>;
};

/** With the log of what was not yet moved into the database, or without, as if it were lost. */
export type WithLog = 'with-log' | 'without-log';

const listed = ({ times, values }: Points, vessel: string, channel: Channel) =>
  Array.from(
    times,
    (time, index): WritableReading => ({
      vessel,
      channel,
      time,
      value: values[index] ?? Number.NaN,
    }),
  );

const bytesOf = (value: unknown): Uint8Array<ArrayBuffer> =>
  value instanceof Uint8Array ? new Uint8Array(value) : new Uint8Array(0);

const hasTable = (database: DatabaseSync, name: string): boolean =>
  database.prepare(`SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = ?`).get(name) !==
  undefined;

const readingsOf = (database: DatabaseSync): readonly WritableReading[] => {
  if (!hasTable(database, 'tail')) return [];
  const identity = database.prepare(`SELECT body FROM document WHERE name = 'identity'`).get();
  if (identity === undefined) return [];
  const { vessel } = (
    JSON.parse(String(identity.body)) as { readonly vessel: { readonly vessel: string } }
  ).vessel;
  const blocks = database.prepare('SELECT channel, body FROM block').all();
  const tails = database.prepare('SELECT body FROM tail').all();
  return [
    ...blocks.flatMap((row) =>
      listed(unpackPoints(bytesOf(row.body).buffer), vessel, String(row.channel) as Channel),
    ),
    ...tails.flatMap((row) =>
      [...openTail(bytesOf(row.body))].flatMap(([channel, points]) =>
        listed(points, vessel, channel),
      ),
    ),
  ];
};

const newsOf = (database: DatabaseSync): readonly News[] =>
  hasTable(database, 'standing_alarm')
    ? database
        .prepare('SELECT body FROM news ORDER BY seq')
        .all()
        .map((row) => JSON.parse(String(row.body)) as News)
    : [];

const stepOf = (news: News): readonly HistoryStep[] => {
  if (!isOfVessel(news) || news.body.kind !== 'alarm') return [];
  const { transition, alarm } = news.body.change;
  const { alarm: name, kind, occurrence } = alarm;
  return [{ id: news.id, vessel: news.vessel, alarm: name, kind, occurrence, transition }];
};

/** `scratch` is a folder for the copy, which is taken away again. */
export const readOnDisk = (objects: string, scratch: string, log: WithLog): OnDisk => {
  const copy = mkdtempSync(join(scratch, 'copy-'));
  try {
    cpSync(objects, copy, {
      recursive: true,
      // The index of the log is made anew by whoever opens the database.
      filter: (source) =>
        !source.endsWith('.sqlite-shm') &&
        !(log === 'without-log' && source.endsWith('.sqlite-wal')),
    });
    const readings: WritableReading[] = [];
    const news: News[] = [];
    for (const file of readdirSync(copy, { recursive: true, encoding: 'utf8' })) {
      if (!file.endsWith('.sqlite') || file.endsWith('metadata.sqlite')) continue;
      const database = new DatabaseSync(join(copy, file));
      try {
        readings.push(...readingsOf(database));
        news.push(...newsOf(database));
      } finally {
        database.close();
      }
    }
    return {
      readings,
      steps: news.flatMap(stepOf),
      newsIds: new Set(news.map(({ id }) => id)),
    };
  } finally {
    rmSync(copy, { recursive: true, force: true });
  }
};
