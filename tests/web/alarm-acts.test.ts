/** What people do to alarms, over HTTP and by the page's forms: who may, what is journalled, and what is refused. */
import { runDurableObjectAlarm } from 'cloudflare:test';
import { beforeEach, describe, expect, test, vi } from 'vitest';
import { vesselStub } from '../../src/storage/env.ts';
import {
  type Asking,
  ask,
  beginning,
  cellarWithAle,
  problemOf,
  setClock,
  testEnv,
} from './cellar-fixture.ts';

beforeEach(() => setClock(beginning));

const hour = 3600;
const name = 'over-pressure';

type Alarm = {
  readonly alarm: string;
  readonly state: string;
  readonly reAlarmAt: number | null;
  readonly shelvedUntil: number | null;
  readonly setAside: { readonly by: string | null; readonly why: string | null } | null;
};

type Change = {
  readonly transition: string;
  readonly by: string | null;
  readonly note: string | null;
  readonly alarm: Alarm;
};

const keyFor = async (keeper: Asking, role: string, title: string): Promise<string> => {
  const vessels = role === 'sensor' ? ['fermenter-1'] : null;
  const made = await keeper.post('/keys', { title, role, vessels });
  return (await made.json<{ key: string }>()).key;
};

/** The rated pressure is 100 kPa. */
const press = async (cellar: Asking, pascal: number, at = beginning): Promise<void> => {
  const sent = await cellar.send([{ n: 'fermenter-1/gauge-pressure', u: 'Pa', v: pascal, t: at }]);
  expect(sent.status).toBe(200);
};

const underPressure = async (): Promise<Asking> => {
  const cellar = await cellarWithAle();
  await press(cellar, 140_000);
  return cellar;
};

/** Below the rating for so long that the alarm returns. */
const calm = async (cellar: Asking, from: number): Promise<number> => {
  for (const at of [from, from + 700]) {
    await setClock(at);
    await press(cellar, 50_000, at);
  }
  return from + 700;
};

const viewOf = async (cellar: Asking) =>
  (await cellar.get('/vessels/fermenter-1')).json<{
    status: { alarms: Alarm[]; setAside: Alarm[] };
    changes: Change[];
  }>();

const stateOf = async (cellar: Asking): Promise<string> => {
  const { status } = await viewOf(cellar);
  return (
    [...status.alarms, ...status.setAside].find(({ alarm }) => alarm === name)?.state ?? 'normal'
  );
};

const lastChange = async (cellar: Asking): Promise<Change | undefined> =>
  (await viewOf(cellar)).changes.find(({ alarm }) => alarm.alarm === name);

const act = (cellar: Asking, kind: string, body: unknown, alarm = name): Promise<Response> =>
  cellar.post(`/vessels/fermenter-1/alarms/${alarm}/${kind}`, body);

const bodies: Readonly<Record<string, unknown>> = {
  acknowledge: {},
  reset: {},
  shelve: { until: beginning + hour },
  unshelve: {},
  'remove-from-service': { reason: 'the gauge is out for its yearly test' },
  'return-to-service': {},
};

describe('over HTTP', () => {
  test.each([
    ['sensor', 403],
    ['viewer', 403],
    ['operator', 204],
    ['keeper', 204],
  ] as const)('a %s is answered %i', async (role, status) => {
    const keeper = await underPressure();
    const person = keeper.withKey(await keyFor(keeper, role, `A ${role}`));
    const answers: string[] = [];
    for (const kind of [
      'acknowledge',
      'shelve',
      'unshelve',
      'remove-from-service',
      'return-to-service',
    ])
      answers.push(`${kind} ${(await act(person, kind, bodies[kind])).status}`);
    const at = await calm(keeper, beginning + hour);
    await setClock(at);
    // Put back while it held, it asks again; over, it is latched.
    answers.push(`acknowledge ${(await act(person, 'acknowledge', {})).status}`);
    answers.push(`reset ${(await act(person, 'reset', {})).status}`);
    expect(answers).toEqual(
      [
        'acknowledge',
        'shelve',
        'unshelve',
        'remove-from-service',
        'return-to-service',
        'acknowledge',
        'reset',
      ].map((kind) => `${kind} ${status}`),
    );
    expect(await stateOf(keeper)).toBe(status === 204 ? 'normal' : 'latched-unacknowledged');
  });

  test('each act is journalled with who and what they wrote, and reaches the cellar', async () => {
    const keeper = await underPressure();
    const maren = keeper.withKey(await keyFor(keeper, 'operator', 'Maren'));
    const seen: unknown[] = [];
    const note = async (kind: string, body: unknown) => {
      expect((await act(maren, kind, body)).status).toBe(204);
      const change = await lastChange(keeper);
      seen.push([change?.transition, change?.by, change?.note, change?.alarm.state]);
    };
    await note('acknowledge', { note: 'on my way' });
    await note('shelve', { until: beginning + 2 * hour, note: 'waiting for the fitter' });
    await note('unshelve', { note: 'he is here' });
    await note('remove-from-service', { reason: 'the gauge is being changed' });
    await note('return-to-service', { note: 'new gauge' });
    await calm(keeper, beginning + hour);
    await note('acknowledge', {});
    await note('reset', { note: 'walked round it, all dry' });
    expect(seen).toEqual([
      ['acknowledged', 'Maren', 'on my way', 'acknowledged'],
      ['shelved', 'Maren', 'waiting for the fitter', 'shelved'],
      ['unshelved', 'Maren', 'he is here', 'unacknowledged'],
      ['removed-from-service', 'Maren', 'the gauge is being changed', 'out-of-service'],
      ['returned-to-service', 'Maren', 'new gauge', 'unacknowledged'],
      ['acknowledged', 'Maren', null, 'latched-acknowledged'],
      ['reset', 'Maren', 'walked round it, all dry', 'normal'],
    ]);
    await vi.waitFor(
      async () => {
        await runDurableObjectAlarm(vesselStub(testEnv, keeper.cellar, 'fermenter-1'));
        const { history, standing } = await (await keeper.get('/alarms')).json<{
          history: Change[];
          standing: Alarm[];
        }>();
        const own = history.filter(({ alarm }) => alarm.alarm === name);
        expect(own[0]).toMatchObject({ transition: 'reset', by: 'Maren' });
        expect(standing.filter(({ alarm }) => alarm === name)).toEqual([]);
      },
      { timeout: 10_000, interval: 20 },
    );
  });

  test('an alarm that is set aside is found under that name, with who and why', async () => {
    const keeper = await underPressure();
    await act(keeper, 'remove-from-service', { reason: 'relief valve is being tested' });
    const { status } = await viewOf(keeper);
    expect(status.alarms.filter(({ alarm }) => alarm === name)).toEqual([]);
    expect(status.setAside[0]).toMatchObject({
      state: 'out-of-service',
      setAside: { by: 'First keeper', why: 'relief valve is being tested' },
    });
  });

  test('a shelf ends by itself, and what still stands asks again', async () => {
    const keeper = await underPressure();
    await act(keeper, 'shelve', { until: beginning + hour });
    expect(await stateOf(keeper)).toBe('shelved');
    await setClock(beginning + hour);
    const stub = vesselStub(testEnv, keeper.cellar, 'fermenter-1');
    await vi.waitFor(
      async () => {
        await runDurableObjectAlarm(stub);
        expect(await stateOf(keeper)).toBe('unacknowledged');
      },
      { timeout: 10_000, interval: 20 },
    );
    expect(await lastChange(keeper)).toMatchObject({
      transition: 'unshelved',
      by: null,
      note: 'its time on the shelf is over',
    });
  });

  test('an acknowledged alarm asks again after the time asked for, or what is usual', async () => {
    const keeper = await underPressure();
    expect((await act(keeper, 'acknowledge', {})).status).toBe(204);
    expect((await viewOf(keeper)).status.alarms[0]?.reAlarmAt).toBe(beginning + hour);
    const other = await underPressure();
    await act(other, 'acknowledge', { reAlarmAt: beginning + 4 * hour });
    await setClock(beginning + 4 * hour);
    const stub = vesselStub(testEnv, other.cellar, 'fermenter-1');
    await vi.waitFor(
      async () => {
        await runDurableObjectAlarm(stub);
        expect(await lastChange(other)).toMatchObject({ transition: 're-alarmed', by: null });
      },
      { timeout: 10_000, interval: 20 },
    );
    expect(await stateOf(other)).toBe('unacknowledged');
  });

  test.each([
    ['reset', {}, 409, /is unacknowledged: only a latched alarm that is over and acknowledged/],
    ['unshelve', {}, 409, /only a shelved alarm/],
    ['return-to-service', {}, 409, /only an alarm that is out of service/],
    ['shelve', { until: beginning - 1 }, 409, /until is 2030-03-17T17:46:39/],
    ['shelve', { until: beginning + 9 * hour }, 409, /not after 2030-03-18T01:46:40/],
    ['acknowledge', { reAlarmAt: beginning + 60 }, 409, /reAlarmAt is .* must be after/],
    ['shelve', {}, 422, /until/],
    ['remove-from-service', {}, 422, /reason/],
    ['remove-from-service', { reason: '   ' }, 422, /must say why/],
    ['acknowledge', { note: 'x'.repeat(501) }, 422, /at most 500/],
    ['acknowledge', { reason: 'x' }, 422, /unknown members/],
  ] as const)('%s with %j is answered %i in words', async (kind, body, status, words) => {
    const keeper = await underPressure();
    const answer = await act(keeper, kind, body);
    expect(answer.status).toBe(status);
    expect((await problemOf(answer)).detail).toMatch(words);
    expect(await stateOf(keeper)).toBe('unacknowledged');
  });

  test('an alarm that never was, and an act that there is not, are not found', async () => {
    const keeper = await underPressure();
    expect((await act(keeper, 'acknowledge', {}, 'leak')).status).toBe(404);
    expect((await act(keeper, 'silence', {})).status).toBe(404);
    expect((await act(keeper, 'constructor', {})).status).toBe(404);
  });
});

const origin = 'http://cellar.test';

const post = (
  path: string,
  fields: Readonly<Record<string, string>>,
  cookie: string,
): Promise<Response> =>
  ask(path, {
    method: 'POST',
    headers: { cookie, origin, 'content-type': 'application/x-www-form-urlencoded' },
    body: new URLSearchParams(fields).toString(),
  });

const signedIn = async (key: string): Promise<string> =>
  (await post('/sign-in', { key }, '')).headers.get('set-cookie')?.split(';')[0] ?? '';

/** The forms of a page as a browser would send them untouched: where to, and what is in their fields. */
const formsOf = (page: string): readonly { action: string; fields: Record<string, string> }[] =>
  [...page.matchAll(/<form method="post" action="([^"]+)"[^>]*>(.*?)<\/form>/gs)].map(
    ([, action = '', inside = '']) => ({
      action,
      fields: Object.fromEntries([
        ...[...inside.matchAll(/<textarea [^>]*name="([^"]+)"/g)].map(([, field]) => [field, '']),
        ...[...inside.matchAll(/<select [^>]*name="([^"]+)"[^>]*><option value="([^"]*)"/g)].map(
          ([, field, value]) => [field, value],
        ),
      ]),
    }),
  );

describe('by the forms of the page', () => {
  const pageOf = async (cellar: Asking, cookie: string): Promise<string> =>
    (await ask(`/cellars/${cellar.cellar}/vessels/fermenter-1`, { headers: { cookie } })).text();

  const submit = async (
    cellar: Asking,
    cookie: string,
    kind: string,
    typed: Readonly<Record<string, string>> = {},
  ): Promise<number> => {
    const form = formsOf(await pageOf(cellar, cookie)).find(({ action }) =>
      action.endsWith(`/alarms/${name}/${kind}`),
    );
    if (form === undefined) throw new Error(`the page has no form to ${kind}`);
    return (await post(form.action, { ...form.fields, ...typed }, cookie)).status;
  };

  test('an operator goes through every act with what the page offers', async () => {
    const keeper = await underPressure();
    const cookie = await signedIn(await keyFor(keeper, 'operator', 'Tobin'));
    const states: string[] = [];
    const doing = async (kind: string, typed: Readonly<Record<string, string>> = {}) => {
      expect({ kind, status: await submit(keeper, cookie, kind, typed) }).toEqual({
        kind,
        status: 303,
      });
      states.push(await stateOf(keeper));
    };
    await doing('acknowledge', { note: 'seen' });
    await doing('shelve', { hours: '4' });
    expect((await viewOf(keeper)).status.setAside[0]?.shelvedUntil).toBe(beginning + 4 * hour);
    expect(await pageOf(keeper, cookie)).toContain('Shelved until');
    await doing('unshelve');
    await doing('remove-from-service', { reason: 'gauge out for its test' });
    expect(await pageOf(keeper, cookie)).toContain('gauge out for its test');
    await doing('return-to-service');
    await calm(keeper, beginning + hour);
    expect(await stateOf(keeper)).toBe('latched-unacknowledged');
    await doing('acknowledge');
    await doing('reset', { note: 'looked at it' });
    expect(states).toEqual([
      'acknowledged',
      'shelved',
      'unacknowledged',
      'out-of-service',
      'unacknowledged',
      'latched-acknowledged',
      'normal',
    ]);
    expect(await lastChange(keeper)).toMatchObject({ by: 'Tobin', note: 'looked at it' });
  });

  test('a viewer sees no such form, and is refused where one is made up', async () => {
    const keeper = await underPressure();
    const cookie = await signedIn(await keyFor(keeper, 'viewer', 'A guest'));
    const page = await pageOf(keeper, cookie);
    expect(page).toContain('Over-pressure');
    expect(formsOf(page).filter(({ action }) => action.includes('/alarms/'))).toEqual([]);
    for (const kind of Object.keys(bodies)) {
      const path = `/cellars/${keeper.cellar}/vessels/fermenter-1/alarms/${name}/${kind}`;
      expect((await post(path, { note: '', reason: 'x', hours: '1' }, cookie)).status).toBe(403);
    }
    expect(await stateOf(keeper)).toBe('unacknowledged');
  });

  test('a shelf longer than the form offers, and no reason, are refused in words', async () => {
    const keeper = await underPressure();
    const cookie = await signedIn(keeper.key);
    expect(await submit(keeper, cookie, 'shelve', { hours: '24' })).toBe(409);
    expect(await submit(keeper, cookie, 'shelve', { hours: 'for ever' })).toBe(422);
    expect(await submit(keeper, cookie, 'remove-from-service', { reason: ' ' })).toBe(422);
    expect(await stateOf(keeper)).toBe('unacknowledged');
  });
});

test.each(['toString', 'constructor', '__proto__'])(
  'an act on %s, which every object inherits, finds no alarm',
  async (inherited) => {
    const cellar = await underPressure();
    const answer = await cellar.post(`/vessels/fermenter-1/alarms/${inherited}/acknowledge`, {});
    expect(answer.status).toBe(404);
  },
);
