/**
 * Deliveries over real sockets to receivers that misbehave, with the built worker on this machine and a
 * driven clock. Promised is: at least once, the same id at each try, in order for each alarm, nothing lost,
 * and no receiver held up by another.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, expect, test, vi } from 'vitest';
import { drivenClock } from '../../src/host/demo/driven-clock.ts';
import { foundCellar } from '../../src/host/found-cellar.ts';
import { builtWorker, type RunningHost, startHost } from '../../src/host/miniflare-host.ts';
import { freshBuild } from './fresh-build.ts';
import { type Manner, type ScriptedReceiver, startScriptedReceiver } from './scripted-receiver.ts';

const beginning = 1_900_000_000;
const operatorSecret = 'operator-secret-of-the-tests-0123456789';
const scratch = mkdtempSync(join(tmpdir(), 'gyleward-sockets-'));
const clock = drivenClock(beginning);
const logged: string[] = [];
const receivers: ScriptedReceiver[] = [];
let host: RunningHost;

beforeAll(async () => {
  freshBuild();
  host = await startHost({
    worker: builtWorker,
    objects: scratch,
    host: '127.0.0.1',
    port: 0,
    operatorSecret,
    cookieSecret: 'cookie-secret-of-the-tests-0123456789ab',
    allowPrivateReceivers: true,
    clock: clock.now,
    onLog: (line) => void logged.push(line),
  });
});

afterEach(async () => {
  await Promise.all(receivers.splice(0).map((one) => one.goDown()));
});

afterAll(async () => {
  await host.dispose();
  rmSync(scratch, { recursive: true, force: true });
});

const until = <Value>(check: () => Value | Promise<Value>): Promise<Value> =>
  vi.waitFor(check, { timeout: 60_000, interval: 20 });

const receiverHere = async (...manners: readonly Manner[]): Promise<ScriptedReceiver> => {
  const receiver = await startScriptedReceiver(clock.now);
  receiver.script(...manners);
  receivers.push(receiver);
  return receiver;
};

let founded = 0;

type Listed = {
  readonly id: string;
  readonly url: string;
  readonly waiting: number;
  readonly lastOutcome: string;
};

/** A cellar with one closed vessel whose alarms are told to these receivers. */
const cellarTelling = async (...told: readonly ScriptedReceiver[]) => {
  founded += 1;
  const cellar = `skerrow-${founded}`;
  const key = await foundCellar(host.url, operatorSecret, { cellar, title: 'Skerrow Yard' });
  const ask = async (method: string, path: string, body?: unknown): Promise<Response> => {
    const answer = await fetch(`${host.url}/v1/cellars/${cellar}${path}`, {
      method,
      headers: {
        authorization: `Bearer ${key}`,
        'content-type': path === '/readings' ? 'application/senml+json' : 'application/json',
      },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    });
    if (!answer.ok) throw new Error(`${path}: ${answer.status} ${await answer.text()}`);
    return answer;
  };
  await ask('POST', '/vessels', {
    vessel: 'keg-3',
    title: 'Third keg',
    kind: 'keg',
    volumeLitre: 30,
    headspaceLitre: 1,
    ratedGaugePressurePascal: 300_000,
  });
  for (const { url } of told) await ask('POST', '/receivers', { title: 'A phone', url });
  const act = (name: string) =>
    ask('POST', `/vessels/keg-3/alarms/over-pressure/${name}`, {}).then(() => undefined);
  const pressure = (pascal: number) =>
    ask('POST', '/readings', [{ n: 'keg-3/gauge-pressure', u: 'Pa', v: pascal }]).then(
      () => undefined,
    );
  const listed = async (url: string): Promise<Listed> => {
    const { receivers: all } = (await (await ask('GET', '/receivers')).json()) as {
      receivers: Listed[];
    };
    const one = all.find((each) => each.url === url);
    if (one === undefined) throw new Error(`no receiver at ${url}`);
    return one;
  };
  return {
    ask,
    pressure,
    listed,
    /** Raises an alarm and takes it through its life, a step a minute; tells its transitions. */
    alarmLife: async (): Promise<readonly string[]> => {
      await pressure(320_000);
      clock.moveTo(clock.now() + 60);
      await act('acknowledge');
      for (let minute = 0; minute < 30; minute += 1) {
        clock.moveTo(clock.now() + 60);
        await pressure(100_000);
      }
      await act('reset');
      return ['raised', 'acknowledged', 'latched', 'reset'];
    },
    history: async () => {
      const { history } = (await (await ask('GET', '/alarms')).json()) as {
        history: { kind: string; alarm?: { alarm: string }; transition?: string }[];
      };
      return history.filter(({ kind }) => kind === 'alarm').toReversed();
    },
    /** Lets the clock run until the receiver has taken these steps of the alarm, and nothing waits. */
    untilTold: async (receiver: ScriptedReceiver, steps: readonly string[]): Promise<void> => {
      await until(async () => {
        clock.moveTo(clock.now() + 60);
        expect(takenOf(receiver).length).toBeGreaterThanOrEqual(steps.length);
        expect(await listed(receiver.url)).toMatchObject({
          waiting: 0,
          lastOutcome: 'answered 204',
        });
      });
      expect(takenOf(receiver)).toEqual(steps);
    },
  };
};

/** The transitions of an alarm in the order in which a receiver took them, each once. */
const takenOf = ({ arrivals }: ScriptedReceiver, alarm = 'over-pressure'): readonly string[] => {
  const seen = new Set<string>();
  return arrivals.flatMap(({ id, taken, event: { data } }) => {
    if (!taken || seen.has(id) || data.change?.alarm.alarm !== alarm) return [];
    seen.add(id);
    return [data.change.transition];
  });
};

/** Everything in the history has reached the receiver, and every try of one message had one id. */
const expectAllTaken = async (
  cellar: Awaited<ReturnType<typeof cellarTelling>>,
  receiver: ScriptedReceiver,
): Promise<void> => {
  const told = (await cellar.history()).map(
    ({ alarm, transition }) => `${alarm?.alarm} ${transition}`,
  );
  expect(told.length).toBeGreaterThanOrEqual(4);
  const name = ({ event: { data } }: (typeof receiver.arrivals)[number]) =>
    `${data.change?.alarm.alarm} ${data.change?.transition}`;
  const taken = new Map(
    receiver.arrivals.filter((one) => one.taken).map((one) => [one.id, name(one)]),
  );
  expect([...taken.values()].toSorted()).toEqual(told.toSorted());
  for (const one of receiver.arrivals) expect(taken.get(one.id)).toBe(name(one));
};

test('a receiver that is down for an hour is told all of it once it is back', async () => {
  const receiver = await receiverHere();
  const cellar = await cellarTelling(receiver);
  await receiver.goDown();
  const life = await cellar.alarmLife();
  const backAt = clock.now() + 3600;
  await until(async () => {
    expect((await cellar.listed(receiver.url)).lastOutcome).toMatch(/^no answer/);
  });
  while (clock.now() < backAt) {
    clock.moveTo(clock.now() + 60);
    await cellar.listed(receiver.url);
  }
  expect((await cellar.listed(receiver.url)).waiting).toBeGreaterThanOrEqual(4);
  await receiver.comeUp();
  await cellar.untilTold(receiver, life);
  await expectAllTaken(cellar, receiver);
});

const flapping: readonly Manner[] = [
  { status: 500 },
  { status: 204 },
  'close',
  { status: 502 },
  { status: 200 },
  { status: 503 },
  'close',
];

test.each<[string, readonly Manner[]]>([
  ['answers 500', Array(6).fill({ status: 500 })],
  ['closes the connection', Array(6).fill('close')],
  ['flaps', flapping],
  ['refuses one message and takes the others', [{ status: 400 }]],
  ['sends elsewhere without saying where', Array(3).fill({ status: 302 })],
])('a receiver that %s is told all of it in the end, in order', async (_, manners) => {
  const receiver = await receiverHere(...manners);
  const cellar = await cellarTelling(receiver);
  const life = await cellar.alarmLife();
  await cellar.untilTold(receiver, life);
  expect(receiver.arrivals.filter(({ taken }) => !taken).length).toBe(
    manners.filter((manner) => typeof manner === 'string' || manner.status >= 300).length,
  );
  await expectAllTaken(cellar, receiver);
});

test('Retry-After is kept, and a longer silence than an hour is not granted', async () => {
  const hasty = await receiverHere({ status: 429, headers: { 'retry-after': '600' } });
  const silent = await receiverHere({ status: 503, headers: { 'retry-after': '900000' } });
  const cellar = await cellarTelling(hasty, silent);
  const since = clock.now();
  await cellar.pressure(320_000);
  await until(() => {
    expect(hasty.arrivals).toHaveLength(1);
    expect(silent.arrivals).toHaveLength(1);
  });
  await until(async () =>
    expect((await cellar.listed(silent.url)).lastOutcome).toBe('answered 503'),
  );
  await cellar.untilTold(hasty, ['raised']);
  await cellar.untilTold(silent, ['raised']);
  const [, second] = hasty.arrivals;
  expect((second?.at ?? 0) - since).toBeGreaterThanOrEqual(600);
  const [, later] = silent.arrivals;
  expect((later?.at ?? 0) - since).toBeGreaterThanOrEqual(3600);
  expect((later?.at ?? Number.POSITIVE_INFINITY) - since).toBeLessThan(86_400);
});

test('a redirect is not followed, to a private address or anywhere', async () => {
  const inside = await receiverHere();
  const receiver = await receiverHere(
    { status: 307, headers: { location: inside.url } },
    { status: 308, headers: { location: 'http://169.254.169.254/latest/' } },
    { status: 301, headers: { location: inside.url } },
  );
  const cellar = await cellarTelling(receiver);
  await cellar.pressure(320_000);
  await until(async () =>
    expect((await cellar.listed(receiver.url)).lastOutcome).toMatch(
      /^answered 30\d, a redirect, which is not followed$/,
    ),
  );
  await cellar.untilTold(receiver, ['raised']);
  expect(receiver.arrivals.length).toBeGreaterThanOrEqual(4);
  expect(inside.arrivals).toEqual([]);
});

test('a receiver that does not answer in time is tried again, and meanwhile holds up no other', async () => {
  const slow = await receiverHere('hang');
  const quick = await receiverHere();
  const cellar = await cellarTelling(slow, quick);
  await cellar.pressure(320_000);
  await until(() => expect(slow.arrivals).toHaveLength(1));
  // The slow one has not answered: what is told from here on reaches the other all the same.
  await cellar.ask('POST', '/vessels/keg-3/alarms/over-pressure/acknowledge', {});
  await until(() => expect(takenOf(quick)).toEqual(['raised', 'acknowledged']));
  expect(slow.arrivals).toHaveLength(1);
  expect((await cellar.listed(slow.url)).waiting).toBeGreaterThanOrEqual(2);
  await until(async () =>
    expect((await cellar.listed(slow.url)).lastOutcome).toBe('no answer within 15 s'),
  );
  slow.answerLate();
  await cellar.untilTold(slow, ['raised', 'acknowledged']);
  expect(new Set(slow.arrivals.slice(0, 2).map(({ id }) => id)).size).toBe(1);
});

test('no line of the log holds a key, a secret, an address or what was said', () => {
  const lines = logged.join('\n');
  expect(lines).toContain('delivery-failed');
  for (const hidden of ['whsec_', 'gyl.', '127.0.0.1', 'Third keg', operatorSecret])
    expect(lines).not.toContain(hidden);
});
