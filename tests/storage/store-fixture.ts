/** Fresh tables of a vessel's object, and what is stored in them, for tests below the object's methods. */
import { runInDurableObject } from 'cloudflare:test';
import type { Channel } from '../../src/science/units/channel.ts';
import { vesselStub } from '../../src/storage/env.ts';
import { exportPage, firstPlace } from '../../src/storage/export-readings.ts';
import { migrate } from '../../src/storage/migrations.ts';
import type { PagePlace, ReadingPage } from '../../src/storage/reading-page.ts';
import { vesselMigrations } from '../../src/storage/vessel-migrations.ts';
import { testEnv } from '../web/cellar-fixture.ts';

/** Runs inside an object that has tables and no vessel; without a name it is one of its own. */
export const inStore = <Outcome>(
  work: (sql: SqlStorage, state: DurableObjectState) => Outcome | Promise<Outcome>,
  name: string = crypto.randomUUID(),
): Promise<Outcome> =>
  runInDurableObject(vesselStub(testEnv, 'store', name), (_instance, state) => {
    migrate(state.storage, vesselMigrations);
    return work(state.storage.sql, state);
  });

const tables = ['block', 'tail', 'hourly', 'correction', 'document'];

export const emptyStore = (sql: SqlStorage): void => {
  for (const table of tables) sql.exec(`DELETE FROM ${table}`);
};

export const everyPage = (sql: SqlStorage): readonly ReadingPage[] => {
  const pages: ReadingPage[] = [];
  for (let place: PagePlace | null = firstPlace; place !== null; ) {
    const { page, next } = exportPage(sql, place);
    pages.push(page);
    place = next;
  }
  return pages;
};

/** Every reading in full detail, by channel, in order of time. */
export const everyPoint = (sql: SqlStorage): Map<Channel, (readonly [number, number])[]> => {
  const points = new Map<Channel, (readonly [number, number])[]>();
  for (const page of everyPage(sql)) {
    if (page.kind !== 'readings') continue;
    for (const { channel, times, values } of page.series) {
      const known = points.get(channel) ?? [];
      points.set(channel, known);
      for (const [index, time] of times.entries()) known.push([time, values[index] ?? Number.NaN]);
    }
  }
  return points;
};
