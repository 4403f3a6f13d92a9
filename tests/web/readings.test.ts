/** The door for readings: what is stored, what is refused, and that nothing is half-stored. */
import { beforeEach, describe, expect, test } from 'vitest';
import {
  beginning,
  cellarWithAle,
  fermenter,
  foundCellar,
  problemOf,
  setClock,
} from './cellar-fixture.ts';

beforeEach(() => setClock(beginning));

const latestOf = async (answer: Response) =>
  (await answer.json<{ status: { latest: Record<string, { value: number; time: number }> } }>())
    .status.latest;

describe('a good pack', () => {
  test('is stored and can be read back at once', async () => {
    const cellar = await cellarWithAle();
    const answer = await cellar.send([
      { bn: 'fermenter-1/', bt: beginning - 60, n: 'gravity', u: '/', v: 1.0515 },
      { n: 'temperature', u: 'Cel', v: 19.2 },
    ]);
    expect(answer.status).toBe(200);
    expect(await answer.json()).toEqual({ stored: 2, repeated: 0, corrected: 0 });
    const latest = await latestOf(await cellar.get('/vessels/fermenter-1'));
    expect(latest.gravity).toMatchObject({ value: 1.0515, time: beginning - 60, ageSeconds: 60 });
    expect(latest.temperature).toMatchObject({ value: 19.2, unit: 'Cel' });
  });

  test('changes nothing when it is sent again', async () => {
    const cellar = await cellarWithAle();
    const pack = [{ n: 'fermenter-1/temperature', u: 'Cel', v: 19, t: beginning - 5 }];
    await cellar.send(pack);
    expect(await (await cellar.send(pack)).json()).toEqual({
      stored: 0,
      repeated: 1,
      corrected: 0,
    });
  });

  test('with another value for the same time is a correction', async () => {
    const cellar = await cellarWithAle();
    await cellar.send([{ n: 'fermenter-1/temperature', u: 'Cel', v: 19, t: beginning }]);
    const again = await cellar.send([
      { n: 'fermenter-1/temperature', u: 'Cel', v: 20, t: beginning },
    ]);
    expect(await again.json()).toEqual({ stored: 0, repeated: 0, corrected: 1 });
    const chart = await cellar.get('/vessels/fermenter-1/chart?buckets=10');
    const { series } = await chart.json<{ series: { temperature: { high: (number | null)[] } } }>();
    expect(series.temperature.high.filter((value) => value !== null)).toEqual([20]);
  });

  test('may hold readings of several vessels', async () => {
    const cellar = await cellarWithAle();
    await cellar.post('/vessels', { ...fermenter, vessel: 'fermenter-2', title: 'Old Tam' });
    const answer = await cellar.send([
      { n: 'fermenter-1/temperature', u: 'Cel', v: 19 },
      { n: 'fermenter-2/temperature', u: 'Cel', v: 18 },
    ]);
    expect(await answer.json()).toMatchObject({ stored: 2 });
    for (const [vessel, value] of [
      ['fermenter-1', 19],
      ['fermenter-2', 18],
    ]) {
      const latest = await latestOf(await cellar.get(`/vessels/${vessel}`));
      expect(latest.temperature?.value).toBe(value);
    }
  });
});

const good = { n: 'fermenter-1/temperature', u: 'Cel', v: 19 };

const refused: readonly (readonly [string, unknown, number, RegExp])[] = [
  ['an empty body', '', 400, /no body/],
  ['broken JSON', '[{"n":"fermenter-1/temperature",', 400, /JSON/],
  ['a body that is no pack', '{"n":"x"}', 400, /array/],
  ['an empty pack', [], 400, /record/],
  ['a pack of base fields only', [{ bn: 'fermenter-1/' }], 422, /base fields only/],
  ['NaN', '[{"n":"fermenter-1/temperature","u":"Cel","v":NaN}]', 400, /JSON/],
  [
    'a number too large for a double',
    '[{"n":"fermenter-1/temperature","u":"Cel","v":1e999}]',
    400,
    /record/,
  ],
  [
    'an unknown vessel',
    [good, { ...good, n: 'fermenter-9/temperature' }],
    422,
    /record 2.*fermenter-9.*create it/,
  ],
  ['an unknown channel', [good, { ...good, n: 'fermenter-1/colour' }], 422, /record 2.*colour/],
  [
    'a bare pressure',
    [good, { n: 'fermenter-1/pressure', u: 'Pa', v: 1000 }],
    422,
    /gauge-pressure/,
  ],
  ['a wrong unit', [good, { n: 'fermenter-1/gravity', u: 'kg', v: 1.05 }], 422, /record 2.*kg/],
  ['a missing unit', [{ n: 'fermenter-1/temperature', v: 19 }], 422, /missing.*Cel/],
  ['a value that cannot be', [{ ...good, v: 400 }], 422, /400/],
  ['a time in 1970', [{ ...good, t: 300_000_000 }], 422, /1979|2000/],
  [
    'a time of next year',
    [{ ...good, t: beginning + 31_536_000 }],
    422,
    /2031.*set the sensor's clock/,
  ],
  ['a name with a path in it', [{ ...good, n: '../../fermenter-1/temperature' }], 400, /record 1/],
  ['a name of three parts', [{ ...good, n: 'skerrow/fermenter-1/temperature' }], 422, /record 1/],
  ['a version to come', [{ ...good, bver: 99 }], 400, /99/],
  ['a label that must be understood', [{ ...good, colour_: 1 }], 400, /colour_/],
];

describe('a pack that is refused', () => {
  test.each(refused)(
    '%s: names what is wrong and stores nothing',
    async (_name, pack, status, words) => {
      const cellar = await cellarWithAle();
      const answer = await cellar.send(pack);
      const problem = await problemOf(answer);
      expect({ status: answer.status, detail: problem.detail }).toMatchObject({
        status,
        detail: expect.stringMatching(words),
      });
      expect(problem.status).toBe(status);
      expect(await latestOf(await cellar.get('/vessels/fermenter-1'))).toEqual({});
    },
  );

  test('a body of 10 MB is refused by size', async () => {
    const cellar = await cellarWithAle();
    const answer = await cellar.send(
      `[${'{"n":"fermenter-1/temperature","u":"Cel","v":19},'.repeat(220_000)}`,
    );
    expect((await problemOf(answer)).detail).toMatch(/1048576 bytes/);
    expect(answer.status).toBe(413);
  });

  test('a foreign media type is refused by name', async () => {
    const cellar = await cellarWithAle();
    const answer = await cellar.post('/readings', [good]);
    expect(answer.status).toBe(415);
    expect((await problemOf(answer)).detail).toMatch(/application\/senml\+json/);
  });

  test('the times of 1970 that SenML reads as relative are told apart', async () => {
    const cellar = await cellarWithAle();
    const answer = await cellar.send([{ ...good, t: 86_400 }]);
    expect(answer.status).toBe(422);
    expect((await problemOf(answer)).detail).toMatch(/below 2\*\*28/);
  });
});

test('a cellar without vessels says what to do first', async () => {
  const cellar = await foundCellar();
  expect((await problemOf(await cellar.send([good]))).detail).toMatch(/create it first/);
});
