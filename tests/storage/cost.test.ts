/**
 * What fourteen days of four channels cost: rows written, all of them, since rows are what the
 * platform bills; bytes in the database, all of them; bytes of the chart. The bounds are the project's
 * goal. Achieved: 0.041 rows and 2.0 bytes a reading, 4.9 kB of chart.
 */
import { beforeEach, expect, test } from 'vitest';
import { vesselStub } from '../../src/storage/env.ts';
import type { StoredReading } from '../../src/storage/reading-table.ts';
import { beginning, cellarWithAle, setClock, testEnv } from '../web/cellar-fixture.ts';
import { withCountedObject } from './counted-object.ts';
import { fortnightMinutes, packCount, packMinutes, packOf } from './fortnight.ts';

beforeEach(() => setClock(beginning));

test('a fortnight at one a minute in packs of sixty costs at most 0.05 rows and 8 bytes a reading', async () => {
  const cellar = await cellarWithAle();
  let figures = { readings: 0, rows: 0, wakeUps: 0, bytes: 0, growth: 0 };
  await withCountedObject(cellar.cellar, 'fermenter-1', beginning, async (counted) => {
    const { sql, vessel } = counted;
    const empty = sql.databaseSize;
    const before = counted.rowsWritten();
    let readings = 0;
    for (let pack = 0; pack < packCount; pack += 1) {
      const now = beginning + 60 * packMinutes * (pack + 1);
      await counted.passTo(now);
      expect(await vessel.record(packOf(beginning, pack), now, 'gateway')).toEqual({
        stored: 60,
        repeated: 0,
        corrected: 0,
      });
      readings += 60;
    }
    figures = {
      readings,
      rows: counted.rowsWritten() - before,
      wakeUps: counted.wakeUps(),
      bytes: sql.databaseSize,
      growth: sql.databaseSize - empty,
    };
  });
  expect(figures.readings).toBe(4 * fortnightMinutes);
  // Fewer than two rows a pack, tail and watch, would mean that something was not counted.
  expect(figures.rows).toBeGreaterThan(2 * packCount);
  expect(figures.wakeUps).toBeGreaterThan(100);
  expect(figures.rows / figures.readings).toBeLessThanOrEqual(0.05);
  expect(figures.bytes / figures.readings).toBeLessThanOrEqual(8);
});

const gzipBytes = async (text: string): Promise<number> => {
  const packed = new Blob([text]).stream().pipeThrough(new CompressionStream('gzip'));
  return (await new Response(packed).arrayBuffer()).byteLength;
};

test('its chart of 400 buckets keeps every extreme and takes at most 40 kB gzipped', async () => {
  const cellar = await cellarWithAle();
  const stub = vesselStub(testEnv, cellar.cellar, 'fermenter-1');
  const sent: StoredReading[] = [];
  for (let day = 0; day < 14; day += 1) {
    const readings = Array.from({ length: 96 }, (_, pack) =>
      packOf(beginning, day * 96 + pack),
    ).flat();
    await stub.record(readings, beginning + 86_400 * (day + 1));
    sent.push(...readings);
  }
  const chart = await stub.chart({ from: null, to: null, buckets: 400 }, beginning + 14 * 86_400);
  if (chart === null) throw new Error('no chart');
  for (const channel of ['temperature', 'gravity', 'gauge-pressure', 'ph'] as const) {
    const own = sent.filter((reading) => reading.channel === channel).map(({ value }) => value);
    const { low, high } = chart.series[channel] ?? { low: [], high: [] };
    expect(low).toHaveLength(400);
    const known = (values: readonly (number | null)[]) => values.filter((value) => value !== null);
    expect(Math.min(...known(low))).toBe(Math.min(...own));
    expect(Math.max(...known(high))).toBe(Math.max(...own));
  }
  const bytes = await gzipBytes(JSON.stringify({ times: chart.times, series: chart.series }));
  expect(bytes).toBeLessThanOrEqual(40_000);
});
