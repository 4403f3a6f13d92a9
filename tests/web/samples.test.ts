/** Samples by hand: corrected for their temperature, kept with the batch, and told to the curve. */
import { beforeEach, expect, test } from 'vitest';
import {
  type Asking,
  beginning,
  cellarWithAle,
  fermenter,
  foundCellar,
  problemOf,
  setClock,
} from './cellar-fixture.ts';

beforeEach(() => setClock(beginning));

const path = '/vessels/fermenter-1/samples';
const hour = 3600;

type Kept = { readonly gravity: number; readonly by: string };

test('a warm hydrometer is corrected as published tables correct it', async () => {
  const cellar = await cellarWithAle();
  // Density tables of sucrose (ICUMSA): a reading of 10 °P at 25 °C is 10.30 °P, about 1.2 points more.
  const answer = await cellar.post(path, { readingGravity: 1.04, sampleTemperatureCelsius: 25 });
  expect(answer.status).toBe(201);
  const kept = await answer.json<Kept>();
  expect((kept.gravity - 1.04) * 1000).toBeGreaterThan(1);
  expect((kept.gravity - 1.04) * 1000).toBeLessThan(1.5);
  const { batch } = await (await cellar.get('/batches/haymaker-12')).json<{
    batch: { samples: Kept[] };
  }>();
  expect(batch.samples).toEqual([kept]);
  expect(kept.by).toBe('First keeper');
});

test('at 20 °C a sample is what the scale shows', async () => {
  const cellar = await cellarWithAle();
  const answer = await cellar.post(path, { readingGravity: 1.012, sampleTemperatureCelsius: 20 });
  expect((await answer.json<Kept>()).gravity).toBeCloseTo(1.012, 4);
});

/** A logistic fall seen by a sensor that reads five points high; every hour for six days. */
const feedHighSensor = async (cellar: Asking, offset: number): Promise<void> => {
  for (let day = 0; day < 6; day += 1) {
    await setClock(beginning + (day + 1) * 24 * hour);
    await cellar.send(
      Array.from({ length: 24 }, (_, index) => {
        const hours = day * 24 + index;
        const share = 1 / (1 + Math.exp(0.1 * (hours - 48)));
        const wobble = 0.0002 * Math.sin(hours * 7);
        return {
          n: 'fermenter-1/gravity',
          u: '/',
          v: 1.011 + 0.041 * share + offset + wobble,
          t: beginning + hours * hour,
        };
      }),
    );
  }
};

test('samples reveal how far the sensor reads off, and free the figures of it', async () => {
  const cellar = await cellarWithAle();
  await feedHighSensor(cellar, 0.005);
  for (const [hours, gravity] of [
    [96, 1.0113],
    [140, 1.011],
  ] as const) {
    const kept = await cellar.post(path, {
      time: beginning + hours * hour,
      readingGravity: gravity,
      sampleTemperatureCelsius: 20,
    });
    expect(kept.status).toBe(201);
  }
  await setClock(beginning + 145 * hour);
  await cellar.send([
    { n: 'fermenter-1/gravity', u: '/', v: 1.016, t: beginning + 144 * hour },
    { n: 'fermenter-1/gravity', u: '/', v: 1.016, t: beginning + 145 * hour },
  ]);
  const { status } = await (await cellar.get('/vessels/fermenter-1')).json<{
    status: { fermentation: { presentGravity: number; basis: string } };
  }>();
  expect(Math.abs(status.fermentation.presentGravity - 1.011)).toBeLessThan(0.001);
  expect(status.fermentation.basis).toMatch(/Against 2 hand samples the sensor reads .* high/);
});

const sample = { readingGravity: 1.03, sampleTemperatureCelsius: 20 };

test.each([
  ['nothing measured', {}, /readingGravity must be given/],
  ['no sample temperature', { readingGravity: 1.03 }, /sampleTemperatureCelsius/],
  ['a temperature that boils', { ...sample, sampleTemperatureCelsius: 90 }, /90/],
  ['a gravity in points', { ...sample, readingGravity: 30 }, /30/],
  ['a time to come', { ...sample, time: beginning + 999 }, /future/],
  ['a pH that cannot be', { ph: 15 }, /ph .*15/],
])('%s is refused and nothing is kept', async (_name, body, words) => {
  const cellar = await cellarWithAle();
  const answer = await cellar.post(path, body);
  expect(answer.status).toBe(422);
  expect((await problemOf(answer)).detail).toMatch(words);
  const { batch } = await (await cellar.get('/batches/haymaker-12')).json<{ batch: object }>();
  expect(batch).not.toHaveProperty('samples');
});

test('a sample needs a batch, and one before its start belongs to none', async () => {
  const empty = await foundCellar();
  await empty.post('/vessels', fermenter);
  expect((await problemOf(await empty.post(path, sample))).detail).toMatch(/start one first/);
  const cellar = await cellarWithAle();
  const early = await cellar.post(path, { ...sample, time: beginning - hour });
  expect(early.status).toBe(409);
  expect((await problemOf(early)).detail).toMatch(/before batch haymaker-12/);
});

test('a sample of the same moment replaces the one before', async () => {
  const cellar = await cellarWithAle();
  await cellar.post(path, { ...sample, time: beginning });
  await cellar.post(path, { ...sample, readingGravity: 1.029, time: beginning });
  const { batch } = await (await cellar.get('/batches/haymaker-12')).json<{
    batch: { samples: { readingGravity: number }[] };
  }>();
  expect(batch.samples.map(({ readingGravity }) => readingGravity)).toEqual([1.029]);
});
