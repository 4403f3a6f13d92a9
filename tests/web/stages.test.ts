/** Stages over HTTP: limits that a batch sets, deeds that are written down, and what a stage change says. */
import { beforeEach, describe, expect, test } from 'vitest';
import {
  type Asking,
  beginning,
  fermenter,
  foundCellar,
  problemOf,
  setClock,
} from './cellar-fixture.ts';

beforeEach(() => setClock(beginning));

const hour = 3600;
const day = 86_400;

const bare = { ...fermenter, ratedGaugePressurePascal: null, reliefGaugePressurePascal: null };

type Limit = { readonly limit: string; readonly value: number | null; readonly from: string };

type Standing = {
  readonly batch: { readonly stage: string; readonly stageStartedAt?: number };
  readonly status: {
    readonly limits: readonly Limit[];
    readonly clocks: readonly { readonly clock: string; readonly dueAt: number | null }[];
    readonly alarms: readonly { readonly kind: string; readonly source: string | null }[];
    readonly setAside: readonly { readonly kind: string }[];
  };
};

const standing = async (cellar: Asking, batch: string): Promise<Standing> =>
  (await cellar.get(`/batches/${batch}`)).json<Standing>();

const limitOf = ({ status }: Standing, name: string): Limit | undefined =>
  status.limits.find(({ limit }) => limit === name);

const cellarWith = async (kind: string, batch: object): Promise<Asking> => {
  const cellar = await foundCellar();
  const made = await cellar.post('/vessels', { ...bare, vessel: 'one', kind });
  expect(made.status).toBe(201);
  const started = await cellar.post('/batches', {
    vessel: 'one',
    batch: 'gyle-1',
    title: 'Gyle 1',
    drink: 'ale',
    ...batch,
  });
  expect(started.status).toBe(201);
  return cellar;
};

/** Sends one reading of the temperature, at the present moment of the cellar. */
const read = (cellar: Asking, at: number, celsius: number) =>
  cellar.send([{ n: 'one/temperature', u: 'Cel', v: celsius, t: at }]);

describe('limits', () => {
  test('stand in the status with where they come from, and change while the batch runs', async () => {
    const cellar = await cellarWith('mash-tun', { limits: { 'mash-rest': { restSeconds: 2700 } } });
    const before = await standing(cellar, 'gyle-1');
    expect(limitOf(before, 'restSeconds')).toMatchObject({ value: 2700, from: 'batch' });
    expect(limitOf(before, 'highCelsius')).toMatchObject({ value: 68, from: 'default' });
    expect(before.status.clocks).toMatchObject([{ clock: 'rest', dueAt: beginning + 2700 }]);
    const changed = await cellar.post('/batches/gyle-1/limits', {
      limits: { 'mash-rest': { highCelsius: 70 } },
    });
    expect(changed.status).toBe(200);
    const after = await standing(cellar, 'gyle-1');
    expect(limitOf(after, 'restSeconds')).toMatchObject({ value: 3600, from: 'default' });
    expect(limitOf(after, 'highCelsius')).toMatchObject({ value: 70, from: 'batch' });
  });

  test('a laxer food-safety limit is refused by its name', async () => {
    const cellar = await cellarWith('steeping-tank', { drink: 'infusion' });
    const problem = await problemOf(
      await cellar.post('/batches/gyle-1/limits', {
        limits: { 'cold-steep': { warmSeconds: 5 * hour } },
      }),
    );
    expect(problem.status).toBe(422);
    expect(problem.detail).toMatch(/limits\.cold-steep\.warmSeconds/);
    expect(problem.detail).toMatch(/between 60 and 14400 s/);
  });
});

describe('clocks and stages', () => {
  test('a rest that is over stands as an alarm with its source, and the next stage begins its own clock', async () => {
    const cellar = await cellarWith('mash-tun', {});
    await read(cellar, beginning, 65);
    await setClock(beginning + hour);
    await read(cellar, beginning + hour, 65);
    const over = await standing(cellar, 'gyle-1');
    expect(over.status.alarms).toMatchObject([
      { kind: 'time-reached', source: expect.stringContaining('Rittenauer') },
    ]);
    await setClock(beginning + hour + 60);
    expect((await cellar.post('/batches/gyle-1/stage', { stage: 'boil' })).status).toBe(200);
    const boil = await standing(cellar, 'gyle-1');
    expect(boil.batch).toMatchObject({ stage: 'boil', stageStartedAt: beginning + hour + 60 });
    expect(boil.status.clocks.map(({ clock }) => clock)).toEqual(['boil', 'heat-up']);
  });

  test('what the next stage does not ask for is set aside', async () => {
    const cellar = await cellarWith('kettle', { stage: 'boil' });
    await read(cellar, beginning, 70);
    await setClock(beginning + hour);
    await read(cellar, beginning + hour, 70);
    expect((await standing(cellar, 'gyle-1')).status.alarms).toMatchObject([
      { kind: 'not-boiling' },
    ]);
    await cellar.post('/batches/gyle-1/stage', { stage: 'cooling' });
    const after = await standing(cellar, 'gyle-1');
    expect(after.status.alarms).toEqual([]);
    expect(after.status.setAside).toMatchObject([{ kind: 'not-boiling' }]);
  });
});

describe('deeds', () => {
  const wine = { drink: 'wine', startedAt: beginning - 100 * day };

  test('topping that is overdue ends when it is written down', async () => {
    const cellar = await cellarWith('barrel', wine);
    const overdue = await standing(cellar, 'gyle-1');
    expect(overdue.status.alarms.map(({ kind }) => kind).sort()).toEqual([
      'overdue-test',
      'overdue-topping',
    ]);
    const done = await cellar.post('/batches/gyle-1/deeds', {
      deed: 'topped',
      at: beginning - day,
      note: 'Took 1.4 L.',
    });
    expect(done.status).toBe(201);
    expect(await done.json()).toMatchObject({
      deeds: [{ deed: 'topped', at: beginning - day, by: 'First keeper', note: 'Took 1.4 L.' }],
    });
    const after = await standing(cellar, 'gyle-1');
    expect(after.status.clocks.find(({ clock }) => clock === 'topping')?.dueAt).toBe(
      beginning + 29 * day,
    );
  });

  test.each([
    ['in the future', beginning + 1],
    ['before the batch', beginning - 101 * day],
  ])('a deed %s is refused', async (_, at) => {
    const cellar = await cellarWith('barrel', wine);
    const problem = await problemOf(
      await cellar.post('/batches/gyle-1/deeds', { deed: 'topped', at }),
    );
    expect(problem.detail).toMatch(/must lie between/);
  });

  test('only who may act on batches writes them down', async () => {
    const cellar = await cellarWith('barrel', wine);
    const made = await cellar.post('/keys', { title: 'Looks on', role: 'viewer' });
    const { key } = await made.json<{ key: string }>();
    const refused = await cellar.withKey(key).post('/batches/gyle-1/deeds', { deed: 'topped' });
    expect(refused.status).toBe(403);
    const limits = await cellar.withKey(key).post('/batches/gyle-1/limits', { limits: {} });
    expect(limits.status).toBe(403);
  });
});
