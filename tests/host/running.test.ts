/**
 * The embedded default end to end, as child processes: first run, restart after kill -9, clean stop, and
 * the demo with its verdict. In one file, because all of it runs the one built worker.
 */
import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import { vessels } from '../../src/host/scenario/skerrow-yard.ts';
import { freshBuild } from './fresh-build.ts';
import { type Started, started } from './started.ts';

const patience = 60_000;
const serveScript = join(import.meta.dirname, '../../src/host/serve.ts');
const demoScript = join(import.meta.dirname, '../../src/host/demo.ts');
const scratch = mkdtempSync(join(tmpdir(), 'gyleward-running-'));
const keyPattern = /gyl\.[a-z0-9-]+\.[A-Za-z0-9_-]{43}/;
const upPattern = /^Gyleward is up at (http:\S+)\//;
const running = new Set<Started>();

beforeAll(freshBuild, patience);

afterEach(async () => {
  for (const one of running) {
    one.child.kill('SIGKILL');
    await one.ended;
  }
  running.clear();
});

afterAll(() => rmSync(scratch, { recursive: true, force: true }));

const serve = (state: string, ...args: readonly string[]): Started => {
  const one = started(serveScript, args, { STATE: join(scratch, state), PORT: '0' });
  running.add(one);
  return one;
};

/** Waits until it is up; answers with its address. */
const addressOf = async (one: Started): Promise<string> => {
  const address = upPattern.exec(await one.line(upPattern))?.[1];
  await one.line(/Ctrl-C stops it/);
  if (address === undefined) throw new Error('no address was printed');
  return address;
};

const keysIn = (one: Started): readonly string[] =>
  one.lines.flatMap((line) => keyPattern.exec(line)?.[0] ?? []);

const keyIn = (one: Started): string => {
  const [key, ...others] = keysIn(one);
  if (key === undefined || others.length > 0) throw new Error(`keys: ${keysIn(one).length}`);
  return key;
};

const ask = (
  url: string,
  key: string,
  path: string,
  sent?: { readonly type: string; readonly body: unknown },
): Promise<Response> =>
  fetch(`${url}/v1/cellars/cellar/${path}`, {
    method: sent === undefined ? 'GET' : 'POST',
    headers: {
      authorization: `Bearer ${key}`,
      ...(sent === undefined ? {} : { 'content-type': sent.type }),
    },
    ...(sent === undefined ? {} : { body: JSON.stringify(sent.body) }),
  });

const aVessel = vessels[0];
const aPack = () => ({
  type: 'application/senml+json',
  body: [
    {
      bn: `${aVessel.vessel}/`,
      bt: Math.floor(Date.now() / 1000) - 60,
      n: 'temperature',
      u: 'Cel',
      v: 18.75,
    },
  ],
});

describe('npm start', () => {
  test(
    'the first run prints one keeper key; after kill -9 every acknowledged reading is there and no key is printed',
    async () => {
      const first = serve('crash');
      const url = await addressOf(first);
      const key = keyIn(first);
      expect(first.lines.some((line) => line.includes('will not be shown again'))).toBe(true);
      expect((await fetch(`${url}/healthz`)).status).toBe(200);
      const vessel = { type: 'application/json', body: aVessel };
      expect((await ask(url, key, 'vessels', vessel)).status).toBe(201);
      const pack = aPack();
      const stored = await ask(url, key, 'readings', pack);
      expect(await stored.json()).toMatchObject({ stored: 1, repeated: 0 });
      first.child.kill('SIGKILL');
      expect(await first.ended).toBe('SIGKILL');

      // The same port as before: an orphaned runtime would still hold it.
      const second = started(serveScript, [], {
        STATE: join(scratch, 'crash'),
        PORT: new URL(url).port,
      });
      running.add(second);
      expect(await addressOf(second)).toBe(url);
      expect(keysIn(second)).toEqual([]);
      const view = await ask(url, key, `vessels/${aVessel.vessel}`);
      expect(view.status).toBe(200);
      expect(await view.json()).toMatchObject({
        status: { latest: { temperature: { value: 18.75 } } },
      });
      const again = await ask(url, key, 'readings', pack);
      expect(await again.json()).toMatchObject({ stored: 0, repeated: 1 });
    },
    patience,
  );

  test(
    'a signal stops it with exit code 0, and --another-keeper-key lets in whoever lost the first',
    async () => {
      const first = serve('lost');
      await addressOf(first);
      first.child.kill('SIGTERM');
      expect(await first.ended).toBe(0);
      expect(first.lines.at(-1)).toMatch(/has stopped/);

      const second = serve('lost', '--another-keeper-key');
      const url = await addressOf(second);
      const key = keyIn(second);
      expect(key).not.toBe(keyIn(first));
      expect((await ask(url, key, 'vessels')).status).toBe(200);
      expect((await ask(url, keyIn(first), 'vessels')).status).toBe(200);
    },
    patience,
  );

  test(
    'the secrets are for their owner only, and no key is written down in clear',
    async () => {
      const one = serve('secrets');
      await addressOf(one);
      const secrets = statSync(join(scratch, 'secrets', 'secrets.json'));
      expect(secrets.mode & 0o777).toBe(0o600);
      expect(statSync(join(scratch, 'secrets')).mode & 0o777).toBe(0o700);
      expect([...one.errors].filter((line) => keyPattern.test(line))).toEqual([]);
    },
    patience,
  );

  test(
    'a second one on the same state is told so in one line',
    async () => {
      const first = serve('twice');
      await addressOf(first);
      const second = serve('twice');
      expect(await second.ended).toBe(1);
      expect(second.errors).toHaveLength(1);
      expect(second.errors[0]).toMatch(/state folder .*twice is in use by another Gyleward/);
    },
    patience,
  );

  test(
    'a taken port is told in one line',
    async () => {
      const holder = createServer();
      await new Promise<void>((settle) => holder.listen(0, '127.0.0.1', settle));
      const address = holder.address();
      const port = typeof address === 'object' && address !== null ? address.port : 0;
      const one = started(serveScript, [], {
        STATE: join(scratch, 'taken'),
        PORT: String(port),
      });
      running.add(one);
      expect(await one.ended).toBe(1);
      holder.close();
      expect(one.errors).toEqual([
        `gyleward: port ${port} on 127.0.0.1 is taken; stop what listens there, or name another with PORT=NUMBER`,
      ]);
    },
    patience,
  );
});

describe('npm run demo', () => {
  test('exactly the expected alarms come, once each, and reach the webhook', async () => {
    const one = started(demoScript, ['--once'], {});
    running.add(one);
    const code = await one.ended;
    const verdict = one.lines.filter((line) => /^(as expected|NOT EXPECTED|verdict)/.test(line));
    expect(verdict.filter((line) => line.startsWith('NOT EXPECTED'))).toEqual([]);
    expect(verdict.length).toBeGreaterThanOrEqual(12);
    expect(one.lines.at(-1)).toBe('verdict: exactly what had to come has come');
    expect(code).toBe(0);
  }, 300_000);

  test(
    'an argument it does not know is refused in one line',
    async () => {
      const one = started(demoScript, ['--sed', '3'], {});
      running.add(one);
      expect(await one.ended).toBe(1);
      expect(one.errors).toHaveLength(1);
    },
    patience,
  );
});
