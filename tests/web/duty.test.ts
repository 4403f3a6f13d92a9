/** Who is told of an alarm, when, and who is told only once nobody has answered. */
import { evictDurableObject, runDurableObjectAlarm } from 'cloudflare:test';
import { beforeEach, describe, expect, test, vi } from 'vitest';
import { cellarStub, vesselStub } from '../../src/storage/env.ts';
import {
  type Asking,
  ask,
  beginning,
  cellarWithAle,
  fermenter,
  problemOf,
  setClock,
  testEnv,
} from './cellar-fixture.ts';
import { browserOf } from './page-browser.ts';

/** 2030-03-17, a Sunday, at 17:46:40 UTC; Great Britain keeps winter time until the 31st. */
beforeEach(() => setClock(beginning));

type Event = {
  readonly type: string;
  readonly data: {
    readonly vessel?: string;
    readonly text: string;
    readonly since?: number;
    readonly change?: { readonly alarm: { readonly alarm: string } };
    readonly alarm?: { readonly alarm: string };
  };
};

const toldAt = async (url: string): Promise<readonly Event[]> =>
  (await (await fetch(url)).json<{ body: string }[]>()).map(({ body }) => JSON.parse(body));

/** Types of what was told of over-pressure. */
const typesAt = async (url: string): Promise<readonly string[]> =>
  (await toldAt(url))
    .filter(({ data }) => (data.change?.alarm ?? data.alarm)?.alarm === 'over-pressure')
    .map(({ type }) => type.replace('gyleward.alarm.', ''));

type Told = { readonly id: string; readonly url: string };

const receiver = async (cellar: Asking, duty?: object): Promise<Told> => {
  const url = `https://receiver.test/${crypto.randomUUID()}`;
  const made = await cellar.post('/receivers', {
    title: 'Phone',
    url,
    ...(duty === undefined ? {} : { duty }),
  });
  if (made.status !== 201) throw new Error(await made.text());
  return { id: (await made.json<{ id: string }>()).id, url };
};

const put = (cellar: Asking, path: string, body: unknown): Promise<Response> =>
  ask(`/v1/cellars/${cellar.cellar}${path}`, {
    method: 'PUT',
    headers: { authorization: `Bearer ${cellar.key}`, 'content-type': 'application/json' },
    body: JSON.stringify(body),
  });

const pressure = async (cellar: Asking, pascal: number, vessel = 'fermenter-1'): Promise<void> => {
  expect((await cellar.send([{ n: `${vessel}/gauge-pressure`, u: 'Pa', v: pascal }])).status).toBe(
    200,
  );
};

const until = (check: () => Promise<void>): Promise<void> =>
  vi.waitFor(check, { timeout: 30_000, interval: 20 });

const wakeAll = async (cellar: Asking, vessels: readonly string[] = ['fermenter-1']) => {
  for (const vessel of vessels)
    await runDurableObjectAlarm(vesselStub(testEnv, cellar.cellar, vessel));
  await runDurableObjectAlarm(cellarStub(testEnv, cellar.cellar));
};

/** Everything that is due by now has been sent: the wake-ups have run and no queue holds anything. */
const settled = async (cellar: Asking): Promise<void> => {
  await until(async () => {
    await wakeAll(cellar);
    const listed = await cellarStub(testEnv, cellar.cellar).receivers(beginning);
    expect(listed.map(({ waiting }) => waiting)).toEqual(listed.map(() => 0));
  });
};

const later = async (cellar: Asking, minutes: number): Promise<void> => {
  await setClock(beginning + minutes * 60);
  await settled(cellar);
};

const acknowledge = async (cellar: Asking): Promise<void> => {
  const answer = await cellar.post('/vessels/fermenter-1/alarms/over-pressure/acknowledge', {});
  expect(answer.status).toBe(204);
};

describe('second in line', () => {
  const afterFifteen = { afterMinutes: 15 };

  test('is told once the time has run out, also by an object that was away, and hears the rest', async () => {
    const cellar = await cellarWithAle();
    const first = await receiver(cellar);
    const second = await receiver(cellar, afterFifteen);
    await pressure(cellar, 140_000);
    await settled(cellar);
    await until(async () => expect(await typesAt(first.url)).toEqual(['raised']));
    await later(cellar, 14.9);
    expect(await toldAt(second.url)).toEqual([]);
    await evictDurableObject(cellarStub(testEnv, cellar.cellar));
    await later(cellar, 15);
    await until(async () => expect(await typesAt(second.url)).toEqual(['unanswered']));
    const [told] = await toldAt(second.url);
    expect(told?.data).toMatchObject({ vessel: 'fermenter-1', since: beginning });
    expect(told?.data.text).toMatch(
      /^Long Meg: Over-pressure, not acknowledged for 15 min\. High: act at once\.\nSeen: /,
    );
    await later(cellar, 16);
    expect(await typesAt(second.url)).toEqual(['unanswered']);
    await acknowledge(cellar);
    await settled(cellar);
    await until(async () => {
      expect(await typesAt(first.url)).toEqual(['raised', 'acknowledged']);
      expect(await typesAt(second.url)).toEqual(['unanswered', 'acknowledged']);
    });
  });

  test('is told nothing of what was acknowledged in time', async () => {
    const cellar = await cellarWithAle();
    const second = await receiver(cellar, afterFifteen);
    await pressure(cellar, 140_000);
    await settled(cellar);
    await setClock(beginning + 14 * 60);
    await acknowledge(cellar);
    for (const minutes of [14, 15, 16, 25]) await later(cellar, minutes);
    expect(await typesAt(second.url)).toEqual([]);
  });

  test('is told nothing of what is over in time', async () => {
    const cellar = await cellarWithAle();
    const first = await receiver(cellar);
    const second = await receiver(cellar, { afterMinutes: 60 });
    await pressure(cellar, 140_000);
    for (let minute = 1; minute <= 30; minute += 1) {
      await setClock(beginning + minute * 60);
      await pressure(cellar, 20_000);
    }
    await settled(cellar);
    await until(async () => expect(await typesAt(first.url)).toEqual(['raised', 'latched']));
    for (const minutes of [59, 60, 61]) await later(cellar, minutes);
    expect(await typesAt(second.url)).toEqual([]);
  });
});

describe('hours', () => {
  const mondays = (zone: string, from: string, to: string) => ({
    hours: { zone, from, to, days: ['monday'] },
  });

  test('outside of them nothing is told; when they begin, what still waits for an answer', async () => {
    const cellar = await cellarWithAle();
    const always = await receiver(cellar);
    // Midnight of Monday in Warsaw is 23:00 UTC on Sunday.
    const monday = await receiver(cellar, mondays('Europe/Warsaw', '00:00', '12:00'));
    await pressure(cellar, 140_000);
    await settled(cellar);
    await until(async () => expect(await typesAt(always.url)).toEqual(['raised']));
    const untilEleven = (Date.parse('2030-03-17T23:00:00Z') / 1000 - beginning) / 60;
    await later(cellar, untilEleven - 1);
    expect(await typesAt(monday.url)).toEqual([]);
    await later(cellar, untilEleven);
    await until(async () => expect(await typesAt(monday.url)).toEqual(['unanswered']));
    await later(cellar, untilEleven + 5);
    expect(await typesAt(monday.url)).toEqual(['unanswered']);
  });

  test('within them it is told at once, and not again', async () => {
    const cellar = await cellarWithAle();
    const sunday = await receiver(cellar, {
      hours: { zone: 'Europe/London', from: '17:00', to: '18:00', days: ['sunday'] },
    });
    await pressure(cellar, 140_000);
    await settled(cellar);
    await until(async () => expect(await typesAt(sunday.url)).toEqual(['raised']));
    for (const minutes of [1, 10]) await later(cellar, minutes);
    expect(await typesAt(sunday.url)).toEqual(['raised']);
  });
});

test('priorities and vessels choose what is told', async () => {
  const cellar = await cellarWithAle();
  await cellar.post('/vessels', { ...fermenter, vessel: 'fermenter-2', title: 'Old Tam' });
  const all = await receiver(cellar);
  const low = await receiver(cellar, { priorities: ['low'] });
  const other = await receiver(cellar, { vessels: ['fermenter-2'] });
  await pressure(cellar, 140_000);
  await pressure(cellar, 140_000, 'fermenter-2');
  await until(async () => {
    await wakeAll(cellar, ['fermenter-1', 'fermenter-2']);
    expect((await toldAt(all.url)).map(({ data }) => data.vessel).toSorted()).toEqual([
      'fermenter-1',
      'fermenter-2',
    ]);
    expect((await toldAt(other.url)).map(({ data }) => data.vessel)).toEqual(['fermenter-2']);
  });
  expect(await toldAt(low.url)).toEqual([]);
});

test('in a flood each dangerous alarm is still told by itself, beside one summary', async () => {
  const cellar = await cellarWithAle();
  const names = Array.from({ length: 12 }, (_, index) => `fermenter-${index + 1}`);
  for (const vessel of names.slice(1))
    await cellar.post('/vessels', { ...fermenter, vessel, title: vessel });
  const high = await receiver(cellar, { priorities: ['high'] });
  for (const vessel of names) await pressure(cellar, 140_000, vessel);
  await until(async () => {
    await wakeAll(cellar, names);
    const told = await toldAt(high.url);
    expect(
      told
        .flatMap(({ type, data }) => (type === 'gyleward.alarm.raised' ? [data.vessel] : []))
        .toSorted(),
    ).toEqual(names.toSorted());
    expect(told.filter(({ type }) => type === 'gyleward.flood.began')).toHaveLength(1);
  });
});

test('a receiver that is given conditions while an alarm stands is not told of it again', async () => {
  const cellar = await cellarWithAle();
  const { id, url } = await receiver(cellar);
  await pressure(cellar, 140_000);
  await settled(cellar);
  await until(async () => expect(await typesAt(url)).toEqual(['raised']));
  expect((await put(cellar, `/receivers/${id}/duty`, { afterMinutes: 5 })).status).toBe(204);
  for (const minutes of [5, 6, 10]) await later(cellar, minutes);
  expect(await typesAt(url)).toEqual(['raised']);
});

describe('a duty', () => {
  test.each([
    [{ priorities: [] }, 'priorities must name at least one priority'],
    [{ afterMinutes: 1.5 }, 'afterMinutes must be a whole number of minutes'],
    [{ afterMinutes: 1441 }, 'afterMinutes must be at most 1440 minutes'],
    [
      { hours: { zone: 'Hallin', from: '08:00', to: '18:00', days: ['monday'] } },
      'hours.zone must be a time zone such as Europe/London (found "Hallin")',
    ],
    [
      { hours: { zone: 'UTC', from: '8', to: '24:00', days: [] } },
      'hours.from must be a time of day such as 08:00',
    ],
    [{ vessels: ['keg-99'] }, 'there is no vessel "keg-99" here'],
  ])('%j is refused', async (duty, words) => {
    const cellar = await cellarWithAle();
    const { id } = await receiver(cellar);
    const refused = await put(cellar, `/receivers/${id}/duty`, duty);
    expect((await problemOf(refused)).detail).toContain(words);
    expect((await put(cellar, '/receivers/rcv_none/duty', {})).status).toBe(404);
  });

  test('is shown in words on the page and set there by a form', async () => {
    const cellar = await cellarWithAle();
    const { id } = await receiver(cellar);
    const browser = await browserOf(cellar.key);
    const page = `/cellars/${cellar.cellar}/receivers/${id}`;
    expect(await (await browser.get(page)).text()).toContain(
      'It is told of high, medium and low alarms of all vessels, by day and by night, at once.',
    );
    const saved = await browser.submit(`${page}/duty`, {
      priorities: 'high',
      vessels: 'fermenter-1',
      from: '8:00',
      to: '18:30',
      zone: 'Europe/London',
      days: 'monday',
      afterMinutes: '20',
    });
    expect(saved.status).toBe(303);
    const { receivers } = await (await cellar.get('/receivers')).json<{
      receivers: { duty: unknown }[];
    }>();
    expect(receivers[0]?.duty).toEqual({
      priorities: ['high'],
      vessels: ['fermenter-1'],
      hours: { zone: 'Europe/London', from: '08:00', to: '18:30', days: ['monday'] },
      afterMinutes: 20,
    });
    expect(await (await browser.get(page)).text()).toContain(
      'It is told of high alarms of Long Meg, from 08:00 to 18:30 (Europe/London) on Monday, once nobody has acknowledged one of high or medium priority for 20 min.',
    );
    const refused = await browser.submit(`${page}/duty`, {
      priorities: 'high',
      from: '8:00',
      to: '25:00',
      zone: 'Skerrow',
      days: 'monday',
      afterMinutes: 'soon',
    });
    expect(refused.status).toBe(422);
    const text = await refused.text();
    for (const words of [
      'must be a time of day such as 08:00',
      'must be a time zone such as Europe/London',
      'value="25:00"',
      'value="soon"',
    ])
      expect(text).toContain(words);
  });
});
