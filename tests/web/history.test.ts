/**
 * A history filled in after the event: converted, stored once however often it is sent, told to nobody, and known to
 * the watch all the same.
 */
import { beforeEach, describe, expect, test } from 'vitest';
import { vesselStub } from '../../src/storage/env.ts';
import { withCountedObject } from '../storage/counted-object.ts';
import {
  type Asking,
  beginning,
  cellarWithAle,
  foundCellar,
  problemOf,
  setClock,
  testEnv,
} from './cellar-fixture.ts';
import { gzipped } from './gzipped.ts';

const day = 86_400;

beforeEach(() => setClock(beginning));

type Report = {
  readonly rows: number;
  readonly stored: number;
  readonly repeated: number;
  readonly corrected: number;
  readonly first: number | null;
  readonly last: number | null;
  readonly detail?: string;
};

const fill = (cellar: Asking, body: BodyInit, query = '', vessel = 'fermenter-1', init = {}) =>
  cellar.sendAs(`/vessels/${vessel}/history${query}`, 'text/csv', body, init);

const filled = async (...args: Parameters<typeof fill>): Promise<Report> => {
  const answer = await fill(...args);
  if (answer.status !== 200) throw new Error(await answer.text());
  return answer.json<Report>();
};

type View = {
  readonly status: {
    readonly latest: Readonly<Record<string, { readonly value: number; readonly time: number }>>;
    readonly alarms: readonly { readonly kind: string }[];
    readonly fermentation: {
      readonly phase: string;
      readonly presentGravity: number;
      readonly terminalGravity: { readonly value: number };
    } | null;
  };
  readonly changes: readonly unknown[];
  readonly happenings: readonly unknown[];
};

const viewOf = async (cellar: Asking, vessel = 'fermenter-1') =>
  (await cellar.get(`/vessels/${vessel}`)).json<View>();

/** A logger's year in short: rows of ten minutes over many days, before the batch and in it. */
const logger = (from: number, rows: number, value: (index: number) => string): string =>
  `time,temperature (°F)\r\n${Array.from(
    { length: rows },
    (_, index) => `${new Date((from + 600 * index) * 1000).toISOString()},${value(index)}\r\n`,
  ).join('')}`;

describe('a history', () => {
  test('is converted, stored, reported, and stored once however often it is sent', async () => {
    const cellar = await cellarWithAle();
    const from = beginning - 200 * day;
    const text = logger(from, 25_000, (index) => (66 + (index % 30) / 10).toFixed(1));
    const report = await filled(cellar, text);
    expect(report).toEqual({
      vessel: 'fermenter-1',
      rows: 25_000,
      stored: 25_000,
      repeated: 0,
      corrected: 0,
      first: from,
      last: from + 600 * 24_999,
      columns: [
        { heading: 'time', channel: null, unit: null, values: 0 },
        { heading: 'temperature (°F)', channel: 'temperature', unit: '°F', values: 25_000 },
      ],
      rowsWithoutZone: 0,
      assumedOffsetSeconds: 0,
    });
    const again = await filled(cellar, await gzipped(text), '', 'fermenter-1', {
      headers: { 'content-encoding': 'gzip' },
    });
    expect(again).toMatchObject({ rows: 25_000, stored: 0, repeated: 25_000, corrected: 0 });
    const corrected = await filled(
      cellar,
      logger(from, 3, () => '50'),
    );
    expect(corrected).toMatchObject({ rows: 3, stored: 0, repeated: 0, corrected: 3 });
    const page = await vesselStub(testEnv, cellar.cellar, 'fermenter-1').exportReadings(null);
    const series = page?.page.kind === 'readings' ? page.page.series : [];
    expect(Array.from(series[0]?.values.slice(0, 4) ?? [])).toEqual([10, 10, 10, 19.055555556]);
  });

  test('that breaks off keeps what came before, says where, and goes on when it is mended', async () => {
    const cellar = await cellarWithAle();
    const from = beginning - 150 * day;
    const broken = logger(from, 15_000, (index) => (index === 12_345 ? 'E-04' : '66'));
    const answer = await fill(cellar, broken);
    expect(answer.status).toBe(422);
    const problem = await answer.json<Report>();
    expect(problem).toMatchObject({ stored: 12_345, repeated: 0, corrected: 0 });
    expect(problem.detail).toMatch(
      /^line 12347, column 2, .*12345 of them were new and are stored; sent again, a reading with a time of its own is not stored twice$/,
    );
    const mended = await filled(cellar, broken.replace('E-04', ''));
    expect(mended).toMatchObject({ rows: 15_000, stored: 2654, repeated: 12_345 });
  });

  test('may be long before the batch, and wakes nobody, however hot it was', async () => {
    const cellar = await cellarWithAle();
    await setClock(beginning + day);
    const text = `time,temperature (°C),head pressure (bar)\n${Array.from(
      { length: 500 },
      (_, index) =>
        `${beginning - 400 * day + 60 * index},45,1.9\n${beginning + 60 * index},45,1.9\n`,
    ).join('')}`;
    expect(await filled(cellar, text)).toMatchObject({ rows: 1000, stored: 2000 });
    expect(await (await cellar.get('/alarms')).json()).toEqual({ standing: [], history: [] });
    const view = await viewOf(cellar);
    expect(view).toMatchObject({ changes: [], happenings: [], status: { alarms: [] } });
    // What still holds speaks up with the next readings that are judged.
    for (const minute of [0, 30, 60, 90]) {
      await setClock(beginning + day + 60 * minute);
      await cellar.send([{ n: 'fermenter-1/gauge-pressure', u: 'Pa', v: 190_000 }]);
    }
    expect((await viewOf(cellar)).status.alarms.map(({ kind }) => kind)).toContain('over-pressure');
  });
});

describe('the watch', () => {
  const rows = (count: number) =>
    Array.from({ length: count }, (_, index) => {
      const time = beginning + 1800 * index;
      const days = index / 48;
      const gravity = 1.011 + 0.041 / (1 + Math.exp(2 * (days - 2.5)));
      return { time, temperature: 19 + (index % 5) / 50, gravity: Number(gravity.toFixed(5)) };
    });

  const asCsv = (of: ReturnType<typeof rows>) =>
    `time,temperature (°C),gravity (SG)\n${of.map(({ time, temperature, gravity }) => `${time},${temperature},${gravity}\n`).join('')}`;

  test('knows a back-filled batch as it would have known it live, and has told nobody', async () => {
    const [live, late] = [await cellarWithAle(), await cellarWithAle()];
    const all = rows(9 * 48);
    for (let from = 0; from < all.length; from += 12) {
      const pack = all.slice(from, from + 12);
      await setClock(pack.at(-1)?.time ?? beginning);
      const sent = await live.send(
        pack.flatMap(({ time, temperature, gravity }) => [
          { n: 'fermenter-1/temperature', u: 'Cel', t: time, v: temperature },
          { n: 'fermenter-1/gravity', u: '/', t: time, v: gravity },
        ]),
      );
      expect(sent.status).toBe(200);
    }
    await setClock(beginning + 9 * day);
    expect(await filled(late, asCsv(all))).toMatchObject({ stored: 2 * all.length });
    const [known, recalled] = [await viewOf(live), await viewOf(late)];
    expect(known.status.fermentation?.phase).toBe('finished');
    expect(known.happenings).toHaveLength(1);
    expect(recalled.happenings).toEqual([]);
    expect(recalled.status.latest).toEqual(known.status.latest);
    expect(recalled.status.fermentation?.phase).toBe('finished');
    expect(recalled.status.fermentation?.presentGravity).toBeCloseTo(
      known.status.fermentation?.presentGravity ?? 0,
      4,
    );
    // Chosen by us: a tenth of a point between a watch that saw each half hour and one that saw each quarter day.
    const [one, other] = [known, recalled].map(
      ({ status }) => status.fermentation?.terminalGravity.value ?? 0,
    );
    expect(Math.abs((one ?? 0) - (other ?? 1))).toBeLessThan(1e-4);
  });

  test('recalls by itself where nobody asks, and leaves live readings that came meanwhile in place', async () => {
    const cellar = await cellarWithAle();
    const half = rows(5 * 48);
    const then = beginning + 5 * day;
    await setClock(then);
    await withCountedObject(cellar.cellar, 'fermenter-1', then, async ({ vessel, passTo }) => {
      const times = Float64Array.from(half, ({ time }) => time);
      const page = (from: number, to: number) =>
        ({
          kind: 'readings',
          series: [
            {
              channel: 'gravity',
              times: times.slice(from, to),
              values: Float64Array.from(half.slice(from, to), ({ gravity }) => gravity),
            },
          ],
        }) as const;
      await vessel.importReadings(page(0, 120), then);
      await vessel.importReadings(page(120, 240), then);
      expect((await vessel.view(then))?.status.fermentation?.phase ?? null).not.toBe('attenuating');
      await vessel.record([{ channel: 'gravity', time: then, value: 1.0113 }], then);
      await passTo(then + 299);
      expect(
        (await vessel.view(then + 299))?.status.fermentation?.terminalGravity ?? null,
      ).toBeNull();
      await passTo(then + 400);
      const view = await vessel.view(then + 400);
      expect(view?.status.fermentation?.terminalGravity).not.toBeNull();
      expect(view?.status.latest.gravity).toMatchObject({ value: 1.0113, time: then });
      expect(view?.happenings).toEqual([]);
    });
  });

  test('is left alone by a history that lies before its batch', async () => {
    const cellar = await cellarWithAle();
    await cellar.send([{ n: 'fermenter-1/temperature', u: 'Cel', v: 19 }]);
    const before = await viewOf(cellar);
    await filled(
      cellar,
      logger(beginning - 50 * day, 1000, () => '66'),
    );
    expect(await viewOf(cellar)).toEqual(before);
  });
});

describe('who may, and what is refused', () => {
  test('only a keeper', async () => {
    const cellar = await cellarWithAle();
    for (const role of ['sensor', 'viewer', 'operator']) {
      const vessels = role === 'sensor' ? ['fermenter-1'] : null;
      const made = await cellar.post('/keys', { title: role, role, vessels });
      const { key } = await made.json<{ key: string }>();
      const answer = await fill(
        cellar.withKey(key),
        logger(beginning - day, 2, () => '66'),
      );
      expect(answer.status).toBe(403);
    }
    const other = await foundCellar();
    expect((await fill(cellar.withKey(other.key), 'time')).status).toBe(401);
  });

  test.each([
    [
      'an unknown vessel',
      '',
      'fermenter-9',
      'time,pH\n2030-01-01 10:00,5',
      404,
      /no vessel "fermenter-9"/,
    ],
    [
      'a zone that is none',
      '?zone=CET',
      'fermenter-1',
      'time,pH\n2030-01-01 10:00,5',
      422,
      /zone must be/,
    ],
    ['an empty body', '', 'fermenter-1', '', 400, /no body/],
    ['headings that are none', '', 'fermenter-1', '2030-01-01 10:00,5\n', 422, /line of headings/],
    ['a time to come', '', 'fermenter-1', 'time,pH\n2030-03-18 10:00,5', 422, /lies after/],
  ])('%s', async (_name, query, vessel, body, status, words) => {
    const cellar = await cellarWithAle();
    const answer = await fill(cellar, body, query, vessel);
    const problem = await problemOf(answer);
    expect(answer.status).toBe(status);
    expect(problem.detail).toMatch(words);
    expect((await viewOf(cellar)).status.latest).toEqual({});
  });

  test('any form but CSV', async () => {
    const cellar = await cellarWithAle();
    const answer = await cellar.sendAs(
      '/vessels/fermenter-1/history',
      'application/senml+json',
      '[]',
    );
    expect(answer.status).toBe(415);
    expect(answer.headers.get('accept-post')).toBe('text/csv');
  });
});

test('a live reading of an hour that was thinned is counted as such, so that the counts add up', async () => {
  const cellar = await cellarWithAle();
  await cellar.post('/batches/haymaker-12/end', {});
  const old = beginning - 500 * day;
  await filled(
    cellar,
    logger(old, 3000, () => '66'),
  );
  await withCountedObject(cellar.cellar, 'fermenter-1', beginning, ({ passTo }) =>
    passTo(beginning + 2 * day),
  );
  await setClock(beginning + 2 * day);
  const answer = await cellar.send([
    { n: 'fermenter-1/temperature', u: 'Cel', t: old + 60, v: 18.888888889 },
    { n: 'fermenter-1/temperature', u: 'Cel', t: beginning, v: 19 },
  ]);
  expect(await answer.json()).toEqual({ stored: 1, repeated: 0, corrected: 0, thinned: 1 });
  expect(
    await filled(
      cellar,
      logger(old, 10, () => '66'),
    ),
  ).toMatchObject({ stored: 0, repeated: 0, thinned: 10 });
});
