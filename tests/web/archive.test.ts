/**
 * Everything out and in again: what one cellar exports, a fresh one takes and exports again, line for line the same.
 * Its alarms stand as they stood, its watch knows its batch, and nobody is told.
 */
import { beforeEach, describe, expect, test } from 'vitest';
import { withCountedObject } from '../storage/counted-object.ts';
import {
  type Asking,
  ask,
  beginning,
  cellarWithAle,
  fermenter,
  foundCellar,
  problemOf,
  setClock,
} from './cellar-fixture.ts';
import { gzipped } from './gzipped.ts';

const day = 86_400;
const jsonl = 'application/jsonl';

beforeEach(() => setClock(beginning));

const textOf = async (answer: Response): Promise<string> => {
  // The platform warns of a text that does not call itself one.
  const text = new TextDecoder().decode(await answer.arrayBuffer());
  if (answer.status !== 200) throw new Error(text);
  return text;
};

const archiveOf = async (cellar: Asking, path = '/archive'): Promise<readonly string[]> =>
  (await textOf(await cellar.get(path))).trimEnd().split('\n');

const take = (cellar: Asking, lines: readonly string[], init = {}) =>
  cellar.sendAs('/archive', jsonl, `${lines.join('\n')}\n`, init);

const kindsOf = (lines: readonly string[]) => {
  const counts: Record<string, number> = {};
  for (const line of lines) {
    const { kind } = JSON.parse(line) as { kind: string };
    counts[kind] = (counts[kind] ?? 0) + 1;
  }
  return counts;
};

/** All but the first line, which names the cellar. */
const contents = ([, ...lines]: readonly string[]) =>
  lines.map((line) => JSON.parse(line) as unknown);

const viewOf = async (cellar: Asking, vessel: string) =>
  (await cellar.get(`/vessels/${vessel}`)).json<{
    batch: { readonly batch: string } | null;
    changes: readonly unknown[];
    status: {
      alarms: readonly { alarm: string; kind: string; state: string }[];
      latest: unknown;
      fermentation: { phase: string } | null;
    };
  }>();

/** Two vessels, three batches, samples, deeds, limits, alarms in several states, thinned hours, a correction. */
const livedIn = async (): Promise<Asking> => {
  const cellar = await cellarWithAle();
  await cellar.post('/vessels', {
    ...fermenter,
    vessel: 'keg-1',
    title: 'Keg',
    kind: 'keg',
    volumeLitre: 30,
    headspaceLitre: 2,
  });
  await cellar.post('/batches', { vessel: 'keg-1', batch: 'old-1', title: 'Old', drink: 'ale' });
  await cellar.sendAs(
    '/vessels/keg-1/history',
    'text/csv',
    `time,temperature (°C)\n${Array.from({ length: 12_000 }, (_, index) => `${beginning - 600 * day + 60 * index},${5 + (index % 7) / 10}\n`).join('')}`,
  );
  await withCountedObject(cellar.cellar, 'keg-1', beginning, ({ passTo }) =>
    passTo(beginning + 2 * day),
  );
  let now = beginning;
  const to = async (seconds: number) => {
    now = seconds;
    await setClock(now);
  };
  const send = (vessel: string, readings: Record<string, readonly [string, number]>) =>
    cellar.send(
      Object.entries(readings).map(([channel, [u, v]]) => ({
        n: `${vessel}/${channel}`,
        u,
        v,
        t: now,
      })),
    );
  for (let hour = 0; hour < 72; hour += 3) {
    await to(beginning + 3600 * hour);
    const gravity = 1.011 + 0.041 / (1 + Math.exp(2 * (hour / 24 - 1.5)));
    await send('fermenter-1', {
      gravity: ['/', Number(gravity.toFixed(4))],
      temperature: ['Cel', hour > 40 ? 26 : 19],
      'carbon-dioxide': ['ppm', 700],
    });
    await send('keg-1', { 'gauge-pressure': ['Pa', hour > 30 && hour < 50 ? 150_000 : 60_000] });
  }
  await to(now + 60);
  await cellar.send([{ n: 'keg-1/gauge-pressure', u: 'Pa', v: 61_000, t: now - 60 }]);
  await cellar.post('/vessels/fermenter-1/samples', {
    readingGravity: 1.02,
    sampleTemperatureCelsius: 18,
    note: 'clean',
  });
  await cellar.post('/batches/haymaker-12/limits', {
    limits: { conditioning: { lowCelsius: 1, highCelsius: 9 } },
  });
  const [hot] = (await viewOf(cellar, 'fermenter-1')).status.alarms;
  const acknowledged = await cellar.post(
    `/vessels/fermenter-1/alarms/${encodeURIComponent(hot?.alarm ?? '')}/acknowledge`,
    { note: 'jacket off' },
  );
  if (acknowledged.status !== 204) throw new Error(await acknowledged.text());
  await cellar.post('/batches/old-1/end', {});
  await cellar.sendAs('/batches/old-1/legal-hold', 'application/json', '{"held":true}', {
    method: 'PUT',
  });
  await cellar.post('/batches', { vessel: 'keg-1', batch: 'new-2', title: 'New', drink: 'ale' });
  await cellar.sendAs('/retention', 'application/json', '{"keepDays":500}', { method: 'PUT' });
  return cellar;
};

/** Asks until the cellar has heard what its vessels have told. */
const settled = async (cellar: Asking, news: number): Promise<readonly string[]> => {
  while (true) {
    const lines = await archiveOf(cellar);
    if ((kindsOf(lines).news ?? 0) >= news) return lines;
  }
};

describe('an archive of a cellar', () => {
  test('taken by a fresh one is exported by it again, line for line, and nobody is told', async () => {
    const cellar = await livedIn();
    const told =
      (await viewOf(cellar, 'fermenter-1')).changes.length +
      (await viewOf(cellar, 'keg-1')).changes.length;
    expect(told).toBeGreaterThanOrEqual(4);
    const lines = await settled(cellar, told);
    expect(kindsOf(lines)).toMatchObject({
      archive: 1,
      retention: 1,
      vessel: 2,
      batch: 3,
      news: told,
      corrections: 1,
      end: 1,
    });
    expect(kindsOf(lines).readings).toBeGreaterThanOrEqual(4);
    expect(kindsOf(lines).hours).toBeGreaterThanOrEqual(1);

    const fresh = await foundCellar();
    const receiver = await fresh.post('/receivers', {
      title: 'Desk',
      url: `http://127.0.0.1:1/${crypto.randomUUID()}`,
    });
    expect(receiver.status).toBe(201);
    const report = await (await take(fresh, lines)).json<Record<string, number>>();
    expect(report).toMatchObject({
      lines: lines.length - 1,
      vessels: 2,
      batches: 3,
      news: told,
      repeated: 0,
      corrections: 1,
    });
    expect(contents(await archiveOf(fresh))).toEqual(contents(lines));

    for (const path of ['/alarms', '/batches', '/vessels', '/retention'])
      expect(await (await fresh.get(path)).json()).toEqual(await (await cellar.get(path)).json());
    for (const vessel of ['fermenter-1', 'keg-1']) {
      const [one, other] = [await viewOf(cellar, vessel), await viewOf(fresh, vessel)];
      expect(other.batch).toEqual(one.batch);
      expect(other.changes).toEqual(one.changes);
      expect(other.status.alarms).toEqual(one.status.alarms);
      expect(other.status.latest).toEqual(one.status.latest);
      expect(other.status.fermentation?.phase).toBe(one.status.fermentation?.phase);
    }
    const { receivers } = await (await fresh.get('/receivers')).json<{
      receivers: readonly { waiting: number }[];
    }>();
    expect(receivers.map(({ waiting }) => waiting)).toEqual([0]);
    const { journal } = await (await fresh.get('/journal')).json<{
      journal: readonly { act: string }[];
    }>();
    expect(journal.map(({ act }) => act)).toEqual([
      'archive-taken',
      'kept-days-set',
      'receiver-added',
    ]);

    // The alarm goes on where it was: it can be answered, and it returns with the readings.
    expect((await viewOf(fresh, 'fermenter-1')).status.alarms).toMatchObject([
      { kind: 'temperature', state: 'acknowledged' },
    ]);
    for (let minute = 1; minute <= 240; minute += 15) {
      await setClock(beginning + 3600 * 70 + 60 * minute);
      await fresh.send([{ n: 'fermenter-1/temperature', u: 'Cel', v: 19 }]);
    }
    const left = (await viewOf(fresh, 'fermenter-1')).status.alarms.map(({ kind }) => kind);
    expect(left).not.toContain('temperature');

    const again = await take(fresh, lines);
    expect(await again.json()).toMatchObject({
      vessels: 0,
      batches: 0,
      news: 0,
      stored: 0,
      hours: 0,
      corrections: 0,
    });
  });

  test('that broke off is sent again, in gzip too, and ends the same', async () => {
    const cellar = await livedIn();
    const lines = await archiveOf(cellar);
    const fresh = await foundCellar();
    const cut = await take(fresh, lines.slice(0, -3));
    expect(cut.status).toBe(422);
    expect((await problemOf(cut)).detail).toMatch(/ends before its end line/);
    const zipped = await gzipped(`${lines.join('\n')}\n`);
    const whole = await fresh.sendAs('/archive', jsonl, zipped, {
      headers: { 'content-encoding': 'gzip' },
    });
    expect(whole.status).toBe(200);
    expect(contents(await archiveOf(fresh))).toEqual(contents(lines));
  });

  test('of one vessel holds that vessel and no other', async () => {
    const cellar = await livedIn();
    const lines = await archiveOf(cellar, '/vessels/keg-1/archive');
    expect(lines.join('\n')).not.toContain('haymaker');
    expect(kindsOf(lines)).toMatchObject({ vessel: 1, batch: 2 });
    const fresh = await foundCellar();
    expect((await take(fresh, lines)).status).toBe(200);
    expect(contents(await archiveOf(fresh, '/vessels/keg-1/archive'))).toEqual(contents(lines));
  });
});

describe('readings', () => {
  test('come as CSV, JSON and SenML, and CSV and SenML go back in as they are', async () => {
    const cellar = await livedIn();
    const from = `/vessels/fermenter-1/readings`;
    const csv = await textOf(await cellar.get(from));
    const [headings, first] = csv.split('\r\n');
    expect(headings).toBe('time,temperature (°C),gravity (SG),carbon dioxide (ppm)');
    expect(first).toBe('2030-03-17T17:46:40Z,19,1.0501,700');
    const json = await (await cellar.get(`${from}?as=json`)).json<readonly object[]>();
    expect(json).toHaveLength(24);
    expect(json[0]).toEqual({
      time: beginning,
      temperature: 19,
      gravity: 1.0501,
      'carbon-dioxide': 700,
    });
    const senml = await textOf(await cellar.get(`${from}?as=senml`));
    expect(JSON.parse(senml)).toHaveLength(72);

    const fresh = await foundCellar();
    await fresh.post('/vessels', fermenter);
    const filled = await fresh.sendAs('/vessels/fermenter-1/history', 'text/csv', csv);
    expect(await filled.json()).toMatchObject({ rows: 24, stored: 72 });
    const sent = await fresh.sendAs('/readings', 'application/senml+json', senml);
    expect(await sent.json()).toEqual({ stored: 0, repeated: 72, corrected: 0 });
    for (const as of ['csv', 'json', 'senml'])
      expect(await textOf(await fresh.get(`${from}?as=${as}`))).toBe(
        await textOf(await cellar.get(`${from}?as=${as}`)),
      );
  });

  test('come page by page, each once and in order, with every digit of their times', async () => {
    const cellar = await cellarWithAle();
    const times = Array.from(
      { length: 9000 },
      (_, index) => beginning - 9000 + index + (index % 3) / 8,
    );
    const pack = (channel: string, u: string, v: number, own: readonly number[]) =>
      cellar.send(own.map((t) => ({ n: `fermenter-1/${channel}`, u, v, t })));
    await pack('temperature', 'Cel', 19, times);
    await pack(
      'oxygen',
      '/',
      0.209,
      times.filter((_, index) => index % 40 === 0),
    );
    const csv = await textOf(await cellar.get('/vessels/fermenter-1/readings?as=csv'));
    const rows = csv.trimEnd().split('\r\n').slice(1);
    expect(rows).toHaveLength(9000);
    expect(rows.map((row) => row.split(',')[0])).toEqual(
      times.map((time) => new Date(time * 1000).toISOString().replace(/\.?0+Z$/, 'Z')),
    );
    expect(rows.filter((row) => row.endsWith(',19,20.9'))).toHaveLength(225);
    const span = await cellar.get(
      `/vessels/fermenter-1/readings?as=json&from=${beginning - 100}&to=${beginning - 50}`,
    );
    expect(await span.json()).toHaveLength(
      times.filter((time) => time > beginning - 100 && time <= beginning - 50).length,
    );
    const empty = await cellar.get('/vessels/fermenter-1/readings?as=senml&to=1000000000');
    expect(await empty.json()).toEqual([]);
  });
});

describe('what is refused', () => {
  const first = '{"kind":"archive","version":1,"cellar":"x","title":"X","writtenAt":1}';
  const vessel = JSON.stringify({ kind: 'vessel', vessel: fermenter });
  const series = (more: object) =>
    JSON.stringify({
      kind: 'readings',
      vessel: 'fermenter-1',
      channel: 'temperature',
      times: [beginning],
      values: [19],
      ...more,
    });
  const end = (lines: number) => JSON.stringify({ kind: 'end', lines });

  test.each<readonly [string, readonly string[], number, RegExp]>([
    ['no JSON', [first, '{'], 422, /line 2 .*no JSON/],
    ['no archive', ['{"kind":"vessel"}'], 422, /line 1/],
    ['another version', [first.replace('"version":1', '"version":2')], 422, /version.*must be 1/],
    ['an unknown kind', [first, '{"kind":"keys"}'], 422, /line 2 .*kind/],
    ['a first line that comes again', [first, first], 422, /line 2/],
    [
      'readings of a vessel that no line describes',
      [first, series({})],
      422,
      /line 2 .*fermenter-1/,
    ],
    [
      'a value that cannot be',
      [first, vessel, series({ values: [400] })],
      422,
      /line 3 .*cannot have/,
    ],
    ['a time of 1970', [first, vessel, series({ times: [5] })], 422, /line 3 .*times.0/],
    ['times without values', [first, vessel, series({ values: [] })], 422, /line 3 .*as many/],
    ['NaN', [first, vessel, series({}).replace('19', 'NaN')], 422, /line 3 .*no JSON/],
    ['1e999', [first, vessel, series({}).replace('[19]', '[1e999]')], 422, /line 3/],
    [
      'a prototype',
      [first, vessel, series({}).replace('"times"', '"__proto__":{"a":1},"times"')],
      422,
      /line 3/,
    ],
    ['an end that counts wrong', [first, vessel, end(7)], 422, /counts 7 lines where 2/],
    ['a line behind the end', [first, end(1), vessel], 422, /line 3 .*behind the end/],
    ['no end', [first, vessel], 422, /ends before its end line/],
    [
      'a vessel that is here and differs',
      [first, vessel.replace('Long Meg', 'Short Meg')],
      409,
      /line 2 .*differs/,
    ],
  ])('%s', async (_name, lines, status, words) => {
    const cellar = await cellarWithAle();
    const before = contents(await archiveOf(cellar));
    const fresh = status === 409 ? cellar : await foundCellar();
    const answer = await take(fresh, lines);
    expect(answer.status).toBe(status);
    expect((await problemOf(answer)).detail).toMatch(words);
    expect(contents(await archiveOf(cellar))).toEqual(before);
    const { journal } = await (await fresh.get('/journal')).json<{
      journal: readonly { act: string }[];
    }>();
    expect(journal.map(({ act }) => act)).not.toContain('archive-taken');
  });

  test('a sensor may export nothing, and only a keeper takes an archive', async () => {
    const cellar = await cellarWithAle();
    const paths = ['/archive', '/vessels/fermenter-1/archive', '/vessels/fermenter-1/readings'];
    for (const role of ['sensor', 'viewer', 'operator', 'keeper']) {
      const made = await cellar.post('/keys', {
        title: role,
        role,
        vessels: role === 'sensor' ? ['fermenter-1'] : null,
      });
      const { key } = await made.json<{ key: string }>();
      const own = cellar.withKey(key);
      for (const path of paths)
        expect((await own.get(path)).status).toBe(role === 'sensor' ? 403 : 200);
      expect((await take(own, [first, end(1)])).status).toBe(role === 'keeper' ? 200 : 403);
    }
    expect((await cellar.get('/vessels/fermenter-9/archive')).status).toBe(404);
    expect((await cellar.get('/vessels/fermenter-9/readings')).status).toBe(404);
    expect((await cellar.get('/vessels/fermenter-1/readings?as=xml')).status).toBe(422);
    expect((await cellar.get('/vessels/fermenter-1/readings?from=yesterday')).status).toBe(422);
    const other = await ask(`/v1/cellars/${cellar.cellar}/archive`);
    expect(other.status).toBe(401);
  });
});
