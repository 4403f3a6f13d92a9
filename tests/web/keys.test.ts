/** The life of a key: its end, its last use, how soon a revoked one stops, and what wrong ones come to. */
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { cellarStub } from '../../src/storage/env.ts';
import { callerAddress } from '../../src/web/caller-address.ts';
import { type Asking, ask, beginning, foundCellar, setClock, testEnv } from './cellar-fixture.ts';
import { browserOf, signIn } from './page-browser.ts';

beforeEach(() => setClock(beginning));
afterEach(() => {
  vi.useRealTimers();
});

type Made = { readonly key: string; readonly keyId: string };
type Listed = {
  readonly keyId: string;
  readonly expiresAt: number | null;
  lastUsedAt: number | null;
};

const viewerKey = async (keeper: Asking, expiresAt: number | null = null): Promise<Made> => {
  const made = await keeper.post('/keys', { title: 'Maren', role: 'viewer', expiresAt });
  expect(made.status).toBe(201);
  return made.json<Made>();
};

const listed = async (keeper: Asking, keyId: string): Promise<Listed | undefined> =>
  (await (await keeper.get('/keys')).json<{ keys: readonly Listed[] }>()).keys.find(
    (one) => one.keyId === keyId,
  );

describe('the end of a key', () => {
  test('closes the cellar from that moment on, in the words for any key that opens nothing', async () => {
    const keeper = await foundCellar();
    const { key, keyId } = await viewerKey(keeper, beginning + 60);
    expect((await listed(keeper, keyId))?.expiresAt).toBe(beginning + 60);
    const viewer = keeper.withKey(key);
    await setClock(beginning + 59.9);
    expect((await viewer.get('/vessels')).status).toBe(200);
    await setClock(beginning + 60);
    const answer = await viewer.get('/vessels');
    expect(answer.status).toBe(401);
    const never = await keeper.withKey(`${key.slice(0, -2)}xx`).get('/vessels');
    expect(await answer.text()).toBe(await never.text());
  });

  test('ends the sessions that were opened with it', async () => {
    const keeper = await foundCellar();
    const { key } = await viewerKey(keeper, beginning + 60);
    const answer = await signIn(key);
    expect(answer.headers.get('set-cookie')).toContain('Max-Age=60;');
    const browser = await browserOf(key);
    expect((await browser.get(`/cellars/${keeper.cellar}`)).status).toBe(200);
    await setClock(beginning + 60);
    const after = await browser.get(`/cellars/${keeper.cellar}`);
    expect(after.headers.get('location')).toBe('/sign-in');
  });

  test('must lie ahead', async () => {
    const keeper = await foundCellar();
    const made = await keeper.post('/keys', {
      title: 'Maren',
      role: 'viewer',
      expiresAt: beginning,
    });
    expect(made.status).toBe(422);
  });

  test('is chosen on the page in days, and shown there', async () => {
    const keeper = await foundCellar();
    const browser = await browserOf(keeper.key);
    const root = `/cellars/${keeper.cellar}`;
    await browser.submit(`${root}/keys`, { title: 'Guest', role: 'viewer', lifetime: '7' });
    const { keys } = await (await keeper.get('/keys')).json<{
      keys: readonly { title: string; expiresAt: number | null }[];
    }>();
    expect(keys.find(({ title }) => title === 'Guest')?.expiresAt).toBe(beginning + 7 * 86_400);
    const page = await (await browser.get(`${root}/set-up`)).text();
    expect(page).toContain('until');
    expect(page).toContain('not used yet');
    const refused = await browser.submit(`${root}/keys`, {
      title: 'Guest',
      role: 'viewer',
      lifetime: 'for ever',
    });
    expect(refused.status).toBe(422);
    expect(await refused.text()).toMatch(/id="key-lifetime-problem"/);
  });

  test('leaves the last keeper key that works', async () => {
    const keeper = await foundCellar();
    const made = await keeper.post('/keys', {
      title: 'For a week',
      role: 'keeper',
      expiresAt: beginning + 60,
    });
    expect(made.status).toBe(201);
    await setClock(beginning + 61);
    const { keys } = await (await keeper.get('/keys')).json<{
      keys: readonly { keyId: string; title: string }[];
    }>();
    const first = keys.find(({ title }) => title === 'First keeper')?.keyId ?? '';
    const answer = await ask(`/v1/cellars/${keeper.cellar}/keys/${first}`, {
      method: 'DELETE',
      headers: { authorization: `Bearer ${keeper.key}` },
    });
    expect(answer.status).toBe(409);
  });
});

test('the last use is written once an hour at most', async () => {
  vi.useFakeTimers({ toFake: ['Date'] });
  const keeper = await foundCellar();
  const { key, keyId } = await viewerKey(keeper);
  const viewer = keeper.withKey(key);
  const usedAt = async (at: number): Promise<number | null | undefined> => {
    await setClock(at);
    // Past the second for which the isolate asks nobody.
    vi.setSystemTime(at * 1000);
    expect((await viewer.get('/vessels')).status).toBe(200);
    return (await listed(keeper, keyId))?.lastUsedAt;
  };
  expect((await listed(keeper, keyId))?.lastUsedAt).toBeNull();
  expect(await usedAt(beginning + 10)).toBe(beginning + 10);
  expect(await usedAt(beginning + 3000)).toBe(beginning + 10);
  expect(await usedAt(beginning + 3609)).toBe(beginning + 10);
  expect(await usedAt(beginning + 3610)).toBe(beginning + 3610);
});

test('a key revoked elsewhere opens nothing from a second later on', async () => {
  vi.useFakeTimers({ toFake: ['Date'] });
  vi.setSystemTime(beginning * 1000);
  const keeper = await foundCellar();
  const { key, keyId } = await viewerKey(keeper);
  const viewer = keeper.withKey(key);
  expect((await viewer.get('/vessels')).status).toBe(200);
  // As another isolate would: this one is told nothing of it.
  expect(await cellarStub(testEnv, keeper.cellar).revokeKey(keyId, beginning)).toBe('revoked');
  vi.setSystemTime(beginning * 1000 + 999);
  expect((await viewer.get('/vessels')).status).toBe(200);
  vi.setSystemTime(beginning * 1000 + 1000);
  expect((await viewer.get('/vessels')).status).toBe(401);
});

describe('tries with a key that opens nothing', () => {
  const wrong = (cellar: string): string => `gyl.${cellar}.${'x'.repeat(43)}`;

  const knock = async (
    cellar: string,
    from: string,
    key = wrong(cellar),
  ): Promise<{ status: number; wait: string | null; body: string }> => {
    const answer = await ask(`/v1/cellars/${cellar}/vessels`, {
      headers: { authorization: `Bearer ${key}`, 'cf-connecting-ip': from },
    });
    return {
      status: answer.status,
      wait: answer.headers.get('retry-after'),
      body: await answer.text(),
    };
  };

  const knocks = async (cellar: string, from: string, times: number): Promise<number[]> => {
    const statuses: number[] = [];
    for (let time = 0; time < times; time += 1) statuses.push((await knock(cellar, from)).status);
    return statuses;
  };

  test('are told to wait past twenty from one address; the right key never is', async () => {
    const keeper = await foundCellar();
    expect(await knocks(keeper.cellar, '192.0.2.1', 20)).toEqual(Array(20).fill(401));
    const refused = await knock(keeper.cellar, '192.0.2.1');
    expect(refused).toMatchObject({ status: 429, wait: '10' });
    expect((await knock(keeper.cellar, '192.0.2.1', 'nonsense')).status).toBe(429);
    expect((await knock(keeper.cellar, '192.0.2.1', keeper.key)).status).toBe(200);
    expect((await knock(keeper.cellar, '192.0.2.2')).status).toBe(401);
    await setClock(beginning + 10);
    expect((await knock(keeper.cellar, '192.0.2.1')).status).toBe(401);
    expect((await knock(keeper.cellar, '192.0.2.1')).status).toBe(429);
  });

  test('are told to wait past two hundred from everywhere; the right key never is', async () => {
    const keeper = await foundCellar();
    for (let from = 0; from < 10; from += 1)
      expect(await knocks(keeper.cellar, `192.0.2.${from}`, 20)).toEqual(Array(20).fill(401));
    expect(await knock(keeper.cellar, '198.51.100.7')).toMatchObject({ status: 429, wait: '1' });
    expect((await knock(keeper.cellar, '198.51.100.7', keeper.key)).status).toBe(200);
  });

  test('do not tell a cellar from one that was never founded', async () => {
    const keeper = await foundCellar();
    const nowhere = `${keeper.cellar}-not`;
    for (let time = 0; time < 22; time += 1)
      expect(await knock(keeper.cellar, '192.0.2.1')).toEqual(await knock(nowhere, '192.0.2.1'));
  });

  test('of the operator secret are told to wait as well', async () => {
    const guess = (secret: string) =>
      ask('/v1/cellars', {
        method: 'POST',
        headers: {
          authorization: `Bearer ${secret}`,
          'cf-connecting-ip': '203.0.113.9',
          'content-type': 'application/json',
        },
        body: '!',
      });
    for (let time = 0; time < 20; time += 1) expect((await guess('guess')).status).toBe(401);
    expect((await guess('guess')).status).toBe(429);
    expect((await guess(testEnv.OPERATOR_SECRET)).status).toBe(400);
  });

  test('at the door of the pages are told to wait in words', async () => {
    const keeper = await foundCellar();
    for (let time = 0; time < 20; time += 1)
      expect((await signIn(wrong(keeper.cellar))).status).toBe(401);
    const answer = await signIn(wrong(keeper.cellar));
    expect({ status: answer.status, wait: answer.headers.get('retry-after') }).toEqual({
      status: 429,
      wait: '10',
    });
    expect(await answer.text()).toContain('Wait 10 s');
    expect((await signIn(keeper.key)).status).toBe(303);
  });
});

test.each([
  ['192.0.2.7', '192.0.2.7'],
  ['2001:db8:1:2:3:4:5:6', '2001:db8:1:2::/64'],
  ['2001:DB8::6', '2001:db8:0:0::/64'],
  ['::1', '0:0:0:0::/64'],
  ['', ''],
])('of the address %j, %j is counted', (address, counted) => {
  const headers = new Headers(address === '' ? {} : { 'cf-connecting-ip': address });
  expect(callerAddress(headers)).toBe(counted);
});
