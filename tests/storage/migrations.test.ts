/**
 * Objects that an earlier version wrote, as rows dumped from them, open under this one with all that
 * they held. The dumps in `written-by-version-1` were made by running version 1 on half a day of a
 * fermenter: 571 readings with fractional times and values of full precision among them, two
 * corrections, an alarm in the outbox. The cellar in `written-by-version-2` has two receivers, a message
 * that it gave up and two that wait.
 */
import { evictDurableObject, runDurableObjectAlarm, runInDurableObject } from 'cloudflare:test';
import { beforeAll, expect, test, vi } from 'vitest';
import type { Channel } from '../../src/science/units/channel.ts';
import { cellarMigrations } from '../../src/storage/cellar-migrations.ts';
import type { CellarObject } from '../../src/storage/cellar-object.ts';
import { correctionsAfter } from '../../src/storage/correction-table.ts';
import { cellarStub, vesselStub } from '../../src/storage/env.ts';
import { type Migration, migrate } from '../../src/storage/migrations.ts';
import { vesselMigrations } from '../../src/storage/vessel-migrations.ts';
import type { VesselObject } from '../../src/storage/vessel-object.ts';
import { beginning, setClock, testEnv } from '../web/cellar-fixture.ts';
import { everyPoint } from './store-fixture.ts';
import cellarRows from './written-by-version-1/cellar.json';
import vesselRows from './written-by-version-1/vessel.json';
import cellarRowsOfVersion2 from './written-by-version-2/cellar.json';

type Cell = string | number | null;
type Table = { readonly columns: readonly string[]; readonly values: readonly (readonly Cell[])[] };
type Dump = {
  readonly statements: readonly string[];
  readonly rows: Readonly<Record<string, Table>>;
};

const vesselDump: Dump = vesselRows;
const cellarDump: Dump = cellarRows;
const wrote = beginning + 30 * 900;

/** The cellar of both dumps, which the vessel asks and tells. */
const cellarName = 'skerrow-cf695861-1';

beforeAll(async () => {
  await setClock(wrote);
  await revive(cellarStub(testEnv, cellarName), cellarDump);
});

const restore = (sql: SqlStorage, { statements, rows }: Dump): void => {
  for (const statement of statements) sql.exec(statement);
  for (const [table, { columns, values }] of Object.entries(rows))
    for (const row of values)
      sql.exec(
        `INSERT INTO ${table} (${columns.join(', ')}) VALUES (${columns.map(() => '?').join(', ')})`,
        ...row,
      );
};

/** An object that holds exactly the dumped rows, started afresh. */
const revive = async (
  stub: DurableObjectStub<VesselObject> | DurableObjectStub<CellarObject>,
  dump: Dump,
): Promise<void> => {
  await runInDurableObject(stub as DurableObjectStub<VesselObject>, (_instance, state) =>
    restore(state.storage.sql, dump),
  );
  await evictDurableObject(stub);
};

const rowsOf = (dump: Dump, table: string): readonly Readonly<Record<string, Cell>>[] => {
  const { columns, values } = dump.rows[table] ?? { columns: [], values: [] };
  return values.map((row) =>
    Object.fromEntries(columns.map((name, at) => [name, row[at] ?? null])),
  );
};

test('a vessel of version 1 keeps every reading and correction, and goes on', async () => {
  const stub = vesselStub(testEnv, cellarName, 'fermenter-1');
  await revive(stub, vesselDump);
  const view = await stub.view(wrote);
  expect(view?.vessel.title).toBe('Long Meg');
  expect(view?.batch?.batch).toBe('haymaker-12');
  expect(view?.changes.map(({ alarm }) => alarm.kind)).toEqual(['over-pressure']);

  const readings = rowsOf(vesselDump, 'reading');
  expect(readings.length).toBe(571);
  const points = await runInDurableObject(stub, (_instance, state) => {
    const tables = state.storage.sql
      .exec<{ name: string }>(`SELECT name FROM sqlite_master WHERE type = 'table'`)
      .toArray()
      .map(({ name }) => name);
    expect(tables).not.toContain('reading');
    expect(tables).not.toContain('correction_by_reading');
    const corrections = correctionsAfter(state.storage.sql, 0, 100).flatMap(
      ({ channel, at, points }) => points.map((point) => ({ channel, at, ...point })),
    );
    expect(corrections).toEqual(
      rowsOf(vesselDump, 'correction').map(({ id: _, ...correction }) => correction),
    );
    return everyPoint(state.storage.sql);
  });
  const migrated = [...points].flatMap(([channel, own]) =>
    own.map(([time, value]) => ({ channel, time, value })),
  );
  const order = (rows: readonly object[]) => rows.map((row) => JSON.stringify(row)).sort();
  expect(order(migrated)).toEqual(
    order(readings.map(({ channel, time, value }) => ({ channel, time, value }))),
  );

  const first = readings[0];
  if (first === undefined) throw new Error('the dump holds no reading');
  const known = {
    channel: String(first.channel) as Channel,
    time: Number(first.time),
    value: Number(first.value),
  };
  expect(await stub.record([known, { ...known, time: wrote }], wrote)).toEqual({
    stored: 0,
    repeated: 1,
    corrected: 1,
  });
  expect(await stub.record([{ ...known, time: wrote + 60 }], wrote + 60)).toMatchObject({
    stored: 1,
  });
});

test('a cellar of version 1 keeps its vessels, keys, batches and receivers', async () => {
  const stub = cellarStub(testEnv, cellarName);
  expect((await stub.describe())?.title).toBe('Skerrow Yard');
  expect((await stub.vessels()).map(({ title }) => title)).toEqual(['Long Meg']);
  expect((await stub.keys()).map(({ title }) => title)).toEqual(['First keeper']);
  expect((await stub.receivers(wrote)).map(({ title }) => title)).toEqual(['Phone of Maren']);
  const [listed] = await stub.batches();
  expect(listed).toMatchObject({ vessel: 'fermenter-1', legalHold: false, finalStatus: null });
});

test('a cellar of version 2 keeps what waited and what was given up, and sends it on', async () => {
  const dump: Dump = cellarRowsOfVersion2;
  const [cellar] = rowsOf(dump, 'document').map(
    ({ body }) => JSON.parse(String(body)) as { cellar: string },
  );
  const queued = rowsOf(dump, 'delivery');
  expect(queued.map(({ given_up_at }) => given_up_at === null)).toEqual([false, true, true]);
  const told = Number(rowsOf(dump, 'news')[0]?.at);
  const stub = cellarStub(testEnv, cellar?.cellar ?? '');
  // Nothing is sent before this test has looked: the version before had left its receivers in peace.
  await setClock(told);
  const frozen = { ...dump.rows };
  const { columns, values } = dump.rows.receiver ?? { columns: [], values: [] };
  frozen.receiver = {
    columns,
    values: values.map((row) =>
      row.map((cell, at) => (columns[at] === 'next_try' ? told + 9e6 : cell)),
    ),
  };
  await revive(stub, { ...dump, rows: frozen });
  const listed = await stub.receivers(told);
  expect(listed.map(({ title, givenUp }) => [title, givenUp])).toEqual([
    ['Phone of Maren', 1],
    ['Office of Skerrow Yard', 0],
  ]);
  const [dead] = (await stub.deadLetters(listed[0]?.id ?? '')) ?? [];
  expect(dead).toMatchObject({ queuedAt: told, lastOutcome: null });
  expect(dead?.headline).toMatch(/^Long Meg: Over-pressure, raised/);
  await runDurableObjectAlarm(stub);
  await vi.waitFor(
    async () => expect((await stub.receivers(told)).map(({ waiting }) => waiting)).toEqual([0, 0]),
    { timeout: 10_000 },
  );
  expect(await stub.sendAgain(listed[0]?.id ?? '', dead?.id ?? 0, told)).toBe(1);
  await vi.waitFor(
    async () => expect((await stub.receivers(told))[0]).toMatchObject({ waiting: 0, givenUp: 0 }),
    { timeout: 10_000 },
  );
});

test.each([
  ['vessel', vesselMigrations, vesselDump],
  ['cellar', cellarMigrations, cellarDump],
  ['cellar of version 2', cellarMigrations, cellarRowsOfVersion2 as Dump],
] as const)(
  'the tables of a %s are the same, however its object came to this version',
  async (_name, migrations, dump) => {
    const schema = (prepare: (sql: SqlStorage) => void) =>
      runInDurableObject(
        vesselStub(testEnv, 'schema', crypto.randomUUID()),
        (_instance, state: DurableObjectState) => {
          prepare(state.storage.sql);
          migrate(state.storage, migrations);
          return state.storage.sql
            .exec(
              `SELECT name, sql FROM sqlite_master
                WHERE sql IS NOT NULL AND name NOT LIKE '\\_cf%' ESCAPE '\\' ORDER BY name`,
            )
            .toArray();
        },
      );
    const fresh = await schema(() => undefined);
    expect(fresh.length).toBeGreaterThan(5);
    expect(await schema((sql) => restore(sql, dump))).toEqual(fresh);
  },
);

test('a list of migrations with a gap is refused before anything is touched', async () => {
  const gap: readonly Migration[] = [
    { version: 1, statements: ['CREATE TABLE one (id INTEGER PRIMARY KEY) STRICT'] },
    { version: 3, statements: ['CREATE TABLE three (id INTEGER PRIMARY KEY) STRICT'] },
  ];
  await runInDurableObject(
    vesselStub(testEnv, 'gap', crypto.randomUUID()),
    (_instance, state: DurableObjectState) => {
      expect(() => migrate(state.storage, gap)).toThrow(/migration 3 stands at place 2/);
      expect(
        state.storage.sql.exec(`SELECT name FROM sqlite_master WHERE name = 'one'`).toArray(),
      ).toEqual([]);
    },
  );
});

test('a migration that fails leaves the object as it was', async () => {
  const failing: readonly Migration[] = [
    {
      version: 1,
      statements: ['CREATE TABLE one (id INTEGER PRIMARY KEY) STRICT'],
      move: () => {
        throw new Error('the disk is full');
      },
    },
  ];
  await runInDurableObject(
    vesselStub(testEnv, 'failing', crypto.randomUUID()),
    (_instance, state: DurableObjectState) => {
      expect(() => migrate(state.storage, failing)).toThrow(/disk is full/);
      expect(
        state.storage.sql
          .exec(`SELECT name FROM sqlite_master WHERE name IN ('one', 'migration')`)
          .toArray(),
      ).toEqual([]);
    },
  );
});
