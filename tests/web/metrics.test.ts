/** What a scraper is told of a cellar: read by a strict reader, held against what was done. */
import { beforeEach, describe, expect, test } from 'vitest';
import { openMetricsMediaType } from '../../src/wire/openmetrics-write.ts';
import { readOpenMetrics } from '../wire/read-openmetrics.ts';
import { type Asking, ask, beginning, cellarWithAle, setClock } from './cellar-fixture.ts';

beforeEach(() => setClock(beginning));

const scrape = (key: string): Promise<Response> =>
  ask('/metrics', { headers: { authorization: `Bearer ${key}` } });

const read = async (keeper: Asking) => {
  const answer = await scrape(keeper.key);
  expect(answer.headers.get('content-type')).toBe(openMetricsMediaType);
  const families = readOpenMetrics(await answer.text());
  return (family: string, labels: Readonly<Record<string, string>> = {}): number | undefined =>
    families
      .get(family)
      ?.samples.find(
        (sample) =>
          !sample.name.endsWith('_created') &&
          Object.entries(labels).every(([name, value]) => sample.labels[name] === value),
      )?.value;
};

describe('the metrics', () => {
  test('count what was stored, what was refused and why, and keys that open nothing', async () => {
    const keeper = await cellarWithAle();
    const send = (records: number, vessel = 'fermenter-1') =>
      keeper.send(
        Array.from({ length: records }, (_, at) => ({
          n: `${vessel}/temperature`,
          u: 'Cel',
          v: 19,
          t: beginning - 60 * (at + 1),
        })),
      );
    expect((await send(7)).status).toBe(200);
    expect((await send(9)).status).toBe(200);
    expect((await send(1, 'never-made')).status).toBe(422);
    expect((await keeper.send('[')).status).toBe(400);
    expect((await keeper.send('[')).status).toBe(400);
    await keeper.withKey(`gyl.${keeper.cellar}.${'x'.repeat(43)}`).get('/vessels');
    const told = await read(keeper);
    expect(told('gyleward_readings_stored', { vessel: 'fermenter-1' })).toBe(9);
    expect(told('gyleward_packs_refused', { reason: 'vessel-not-listed' })).toBe(1);
    expect(told('gyleward_packs_refused', { reason: 'senml' })).toBe(2);
    expect(told('gyleward_keys_refused')).toBe(1);
  });

  test('tell the alarms by state and priority, and what waits', async () => {
    const keeper = await cellarWithAle();
    const calm = await read(keeper);
    expect(calm('gyleward_alarms', { state: 'unacknowledged', priority: 'high' })).toBe(0);
    expect(calm('gyleward_deliveries_waiting')).toBe(0);
    expect(calm('gyleward_deliveries_given_up')).toBe(0);
    expect(calm('gyleward_outbox_oldest_age_seconds', { vessel: 'fermenter-1' })).toBe(0);
    for (const at of [0, 1]) {
      await setClock(beginning + at);
      await keeper.send([{ n: 'fermenter-1/gauge-pressure', u: 'Pa', v: 110_000 }]);
    }
    await expect
      .poll(
        async () =>
          (await read(keeper))('gyleward_alarms', { state: 'unacknowledged', priority: 'high' }),
        { timeout: 60_000 },
      )
      .toBe(1);
    const later = await read(keeper);
    expect(later('gyleward_wake_ups', { vessel: 'fermenter-1' })).toBeGreaterThan(0);
    expect(later('gyleward_wake_ups_late', { vessel: 'fermenter-1' })).toBe(0);
  });

  test('open to keys that may look, each to its own cellar, and to nobody else', async () => {
    const keeper = await cellarWithAle();
    const other = await cellarWithAle();
    expect((await ask('/metrics')).status).toBe(401);
    expect((await scrape('nonsense')).status).toBe(401);
    const sensor = await keeper.post('/keys', {
      title: 'Probe',
      role: 'sensor',
      vessels: ['fermenter-1'],
    });
    expect((await scrape((await sensor.json<{ key: string }>()).key)).status).toBe(403);
    const viewer = await keeper.post('/keys', { title: 'Scraper', role: 'viewer' });
    expect((await scrape((await viewer.json<{ key: string }>()).key)).status).toBe(200);
    await keeper.send([{ n: 'fermenter-1/temperature', u: 'Cel', v: 19 }]);
    expect((await read(other))('gyleward_readings_stored', { vessel: 'fermenter-1' })).toBe(0);
  });
});
