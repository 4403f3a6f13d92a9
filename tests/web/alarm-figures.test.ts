/** Figures of a cellar's alarms over HTTP and on their page, and a flood that is said once and summed up once. */
import { runDurableObjectAlarm } from 'cloudflare:test';
import { beforeEach, expect, test, vi } from 'vitest';
import type { Alarm, AlarmTransition } from '../../src/monitoring/alarms/alarm.ts';
import { untoldEntry } from '../../src/monitoring/alarms/alarm-entry.ts';
import type { AlarmFigures } from '../../src/monitoring/alarms/alarm-figures.ts';
import { cellarStub } from '../../src/storage/env.ts';
import type { VesselNews } from '../../src/storage/news.ts';
import { type Asking, ask, beginning, foundCellar, setClock, testEnv } from './cellar-fixture.ts';

beforeEach(() => setClock(beginning));

const day = 86_400;
const origin = 'http://cellar.test';

const alarmOf = (change: Partial<Alarm>): Alarm => ({
  ...untoldEntry(
    { kind: 'silent-sensor', channel: 'gravity', priority: 'low' },
    'silent-sensor:gravity',
    null,
    0,
  ).alarm,
  ...change,
});

let told = 0;

const newsOf = (
  cellar: string,
  vessel: string,
  at: number,
  transition: AlarmTransition,
  alarm: Partial<Alarm>,
): VesselNews => {
  told += 1;
  return {
    id: `news_of_figures_${told}`,
    cellar,
    vessel,
    vesselTitle: `The ${vessel}`,
    batch: null,
    batchTitle: null,
    body: {
      kind: 'alarm',
      change: { transition, at, by: null, note: null, alarm: alarmOf({ raisedAt: at, ...alarm }) },
    },
  };
};

const tell = (cellar: Asking, at: number, news: readonly VesselNews[]): Promise<void> =>
  cellarStub(testEnv, cellar.cellar).takeNews(news, at);

const figuresOf = async (cellar: Asking, query = ''): Promise<AlarmFigures> => {
  const answer = await cellar.get(`/alarms/figures${query}`);
  expect(answer.status).toBe(200);
  return answer.json<AlarmFigures>();
};

test('the figures span the days asked for, and at most the life of the cellar', async () => {
  const cellar = await foundCellar();
  const raised = (at: number, vessel: string) =>
    tell(cellar, at, [newsOf(cellar.cellar, vessel, at, 'raised', { state: 'unacknowledged' })]);
  for (let index = 0; index < 8; index += 1) await raised(beginning + index * day, `v${index % 3}`);
  const acknowledgedAt = beginning + 7 * day + 90;
  await tell(cellar, acknowledgedAt, [
    newsOf(cellar.cellar, 'v1', acknowledgedAt, 'acknowledged', {
      state: 'acknowledged',
      raisedAt: beginning + 7 * day,
    }),
  ]);
  await setClock(beginning + 10 * day);
  const whole = await figuresOf(cellar);
  expect(whole).toMatchObject({
    from: beginning,
    to: beginning + 10 * day,
    alarms: 8,
    alarmsPerDay: { value: 0.8 },
    mostInTenMinutes: { value: 1 },
    shareOfTimeInFlood: { value: 0, floods: 0 },
    priorities: { low: { value: 1, count: 8 }, high: { value: 0 } },
    stale: { value: 3 },
    chattering: { value: 0 },
    meanSecondsToAcknowledge: { value: 90, acknowledged: 1, unanswered: 7 },
  });
  expect(whole.topTenShare.alarms.map(({ vessel, count }) => [vessel, count])).toEqual([
    ['v0', 3],
    ['v1', 3],
    ['v2', 2],
  ]);
  expect(whole.alarmsPerDay.references[0]).toMatchObject({ most: 144, known: 'seen second-hand' });
  expect(await figuresOf(cellar, '?days=5')).toMatchObject({
    from: beginning + 5 * day,
    alarms: 3,
  });
});

test('who may see them, and what is refused', async () => {
  const keeper = await foundCellar();
  const keyFor = async (role: string) => {
    const made = await keeper.post('/keys', {
      title: role,
      role,
      vessels: role === 'sensor' ? ['v'] : null,
    });
    return keeper.withKey((await made.json<{ key: string }>()).key);
  };
  const status = async (role: string) => (await (await keyFor(role)).get('/alarms/figures')).status;
  expect(await status('viewer')).toBe(200);
  expect(await status('operator')).toBe(200);
  expect((await ask(`/v1/cellars/${keeper.cellar}/alarms/figures`)).status).toBe(401);
  for (const days of ['0', '367', 'many', '-1'])
    expect((await keeper.get(`/alarms/figures?days=${days}`)).status).toBe(422);
});

test('a flood is said once, each alarm is still told, and one summary ends it', async () => {
  const cellar = await foundCellar();
  const url = `https://receiver.test/${crypto.randomUUID()}`;
  await cellar.post('/receivers', { title: 'Phone of Maren', url });
  for (let index = 0; index < 25; index += 1) {
    const at = beginning + index * 20;
    await setClock(at);
    await tell(cellar, at, [
      newsOf(cellar.cellar, `v${index}`, at, 'raised', { state: 'unacknowledged' }),
    ]);
  }
  const typesOf = async () => {
    const { history } = await (await cellar.get('/alarms')).json<{
      history: { kind: string; transition: string; at: number; flood?: { count: number } }[];
    }>();
    return history.filter(({ kind }) => kind === 'flood');
  };
  expect(await typesOf()).toMatchObject([{ transition: 'began', at: beginning + 200 }]);
  await setClock(beginning + 2 * 3600);
  const stub = cellarStub(testEnv, cellar.cellar);
  await vi.waitFor(
    async () => {
      await runDurableObjectAlarm(stub);
      expect(await typesOf()).toHaveLength(2);
    },
    { timeout: 10_000, interval: 20 },
  );
  // The fifth youngest, of 400 s, leaves the ten minutes at 1000 s.
  expect((await typesOf())[0]).toMatchObject({
    transition: 'ended',
    at: beginning + 1000,
    flood: { since: beginning + 200, count: 25, peak: 25 },
  });
  type Event = {
    id: string;
    type: string;
    source: string;
    data: { text: string; cellarTitle?: string };
  };
  await vi.waitFor(
    async () => {
      await runDurableObjectAlarm(stub);
      const arrived = await (await fetch(url)).json<{ body: string }[]>();
      const events = new Map(
        arrived.map(({ body }) => JSON.parse(body) as Event).map((event) => [event.id, event]),
      );
      expect(events.size).toBe(27);
      const floods = [...events.values()].filter(({ type }) => type.startsWith('gyleward.flood'));
      expect(floods.map(({ type, source }) => [type, source])).toEqual([
        ['gyleward.flood.began', `/v1/cellars/${cellar.cellar}`],
        ['gyleward.flood.ended', `/v1/cellars/${cellar.cellar}`],
      ]);
      expect(floods[0]?.data.text).toContain('Skerrow Yard: a flood of alarms has begun.');
      expect(floods[1]?.data.text).toContain('25 alarms on 25 vessels in 13 min');
    },
    { timeout: 10_000, interval: 50 },
  );
  const figures = await figuresOf(cellar);
  expect(figures.shareOfTimeInFlood).toMatchObject({ value: 800 / 7200, floods: 1 });
  expect(figures.mostInTenMinutes.value).toBe(25);
});

test('the pages show the flood, and the figures beside their references', async () => {
  const cellar = await foundCellar();
  for (let index = 0; index < 12; index += 1)
    await tell(cellar, beginning, [
      newsOf(cellar.cellar, `v${index}`, beginning, 'raised', {
        state: 'unacknowledged',
        evidence: 'nothing has arrived',
      }),
    ]);
  const signedIn = await ask('/sign-in', {
    method: 'POST',
    headers: { origin, 'content-type': 'application/x-www-form-urlencoded' },
    body: new URLSearchParams({ key: cellar.key }).toString(),
  });
  const cookie = signedIn.headers.get('set-cookie')?.split(';')[0] ?? '';
  const page = async (path: string) => {
    const answer = await ask(`/cellars/${cellar.cellar}${path}`, { headers: { cookie } });
    expect(answer.status).toBe(200);
    return answer.text();
  };
  const alarms = await page('/alarms');
  expect(alarms).toContain('A flood of alarms began. 11 alarms on 11 vessels within ten minutes');
  expect(alarms).toContain('the whole cellar');
  expect(alarms).toContain(`href="/cellars/${cellar.cellar}/alarms/figures"`);
  const figures = await page('/alarms/figures');
  expect(figures).toContain('about 144 a day are acceptable (IEC 62682:2014, seen second-hand)');
  expect(figures).toContain('12 standing');
  expect(figures).toMatch(/Most alarms in ten minutes<\/th><td>12<strong>, above it/);
});
