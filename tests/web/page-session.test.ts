/** The page: signing in with a key, staying in by a signed cookie, and acting through forms. */
import { beforeEach, describe, expect, test } from 'vitest';
import {
  type Asking,
  ask,
  beginning,
  cellarWithAle,
  fermenter,
  foundCellar,
  setClock,
} from './cellar-fixture.ts';
import { browserOf, signIn } from './page-browser.ts';

beforeEach(() => setClock(beginning));

const keyFor = async (keeper: Asking, role: string): Promise<string> => {
  const vessels = role === 'sensor' ? ['fermenter-1'] : null;
  const made = await keeper.post('/keys', { title: `A ${role}`, role, vessels });
  return (await made.json<{ key: string }>()).key;
};

describe('signing in', () => {
  test('sets a host-bound, signed, script-proof cookie and leads to the cellar', async () => {
    const { cellar, key } = await cellarWithAle();
    const answer = await signIn(key);
    expect(answer.headers.get('location')).toBe(`/cellars/${cellar}`);
    const cookie = answer.headers.get('set-cookie') ?? '';
    expect(cookie).toMatch(/^__Host-cellar-session=/);
    for (const attribute of ['HttpOnly', 'Secure', 'SameSite=Strict', 'Path=/'])
      expect(cookie).toContain(attribute);
    expect(answer.headers.get('set-cookie')).not.toContain(key);
  });

  test.each(['', 'nonsense', `gyl.never-founded.${'A'.repeat(43)}`])(
    'with %j is refused in words, without a cookie',
    async (key) => {
      const answer = await signIn(key);
      expect(answer.status).toBe(401);
      expect(answer.headers.get('set-cookie')).toBeNull();
      expect(await answer.text()).toMatch(/opens no cellar here/);
    },
  );

  test('with a sensor key is refused: it shows no pages', async () => {
    const answer = await signIn(await keyFor(await cellarWithAle(), 'sensor'));
    expect(answer.status).toBe(401);
  });

  test('ends with signing out, also for a copied cookie', async () => {
    const { cellar, key } = await cellarWithAle();
    const browser = await browserOf(key);
    expect((await browser.get(`/cellars/${cellar}`)).status).toBe(200);
    await browser.submit('/sign-out', {});
    const after = await browser.get(`/cellars/${cellar}`);
    expect(after.headers.get('location')).toBe('/sign-in');
  });

  test('does not outlive the key', async () => {
    const keeper = await foundCellar();
    const made = await keeper.post('/keys', { title: 'Maren', role: 'viewer' });
    const { key, keyId } = await made.json<{ key: string; keyId: string }>();
    const browser = await browserOf(key);
    await ask(`/v1/cellars/${keeper.cellar}/keys/${keyId}`, {
      method: 'DELETE',
      headers: { authorization: `Bearer ${keeper.key}` },
    });
    expect((await browser.get(`/cellars/${keeper.cellar}`)).headers.get('location')).toBe(
      '/sign-in',
    );
  });

  test('a cookie changed in one character is no cookie', async () => {
    const { cellar, key } = await cellarWithAle();
    const { cookie } = await browserOf(key);
    const at = cookie.indexOf('=') + cellar.length + 10;
    const changed = `${cookie.slice(0, at)}${cookie[at] === 'x' ? 'y' : 'x'}${cookie.slice(at + 1)}`;
    const answer = await ask(`/cellars/${cellar}`, { headers: { cookie: changed } });
    expect(answer.headers.get('location')).toBe('/sign-in');
  });
});

describe('the pages', () => {
  test('show the cellar, a vessel, the alarms and the set-up under a strict policy', async () => {
    const { cellar, key } = await cellarWithAle();
    const browser = await browserOf(key);
    const root = `/cellars/${cellar}`;
    for (const [path, words] of [
      [root, 'Long Meg'],
      [`${root}/vessels/fermenter-1`, 'Haymaker ale'],
      [`${root}/alarms`, 'Alarms'],
      [`${root}/set-up`, 'Set up'],
    ] as const) {
      const answer = await browser.get(path);
      const text = await answer.text();
      expect({ path, status: answer.status }).toEqual({ path, status: 200 });
      expect(text).toContain(words);
      const policy = answer.headers.get('content-security-policy') ?? '';
      expect(policy).toContain("default-src 'none'");
      expect(policy).not.toContain('unsafe');
    }
  });

  test('of another cellar answer as if there were none', async () => {
    const [mine, other] = [await cellarWithAle(), await cellarWithAle()];
    const browser = await browserOf(mine.key);
    const [foreign, nowhere] = await Promise.all(
      [other.cellar, 'never-founded'].map((cellar) => browser.get(`/cellars/${cellar}`)),
    );
    expect(foreign?.status).toBe(404);
    expect(await foreign?.text()).toBe(await nowhere?.text());
  });

  test('refuse a form from another site', async () => {
    const { cellar, key } = await cellarWithAle();
    const browser = await browserOf(key);
    const answer = await browser.submit(
      `/cellars/${cellar}/batches/haymaker-12/end`,
      {},
      'https://elsewhere.test',
    );
    expect(answer.status).toBe(403);
    const view = await (await browser.get(`/cellars/${cellar}/vessels/fermenter-1`)).text();
    expect(view).toContain('Haymaker ale');
  });
});

const typed = {
  title: 'Old Tam',
  vessel: 'fermenter-2',
  kind: 'fermenter',
  volumeLitre: '1200',
  headspaceLitre: '150,5',
  ratedGaugePressureBar: '1.1',
  reliefGaugePressureBar: '',
  lowCelsius: '',
  highCelsius: '',
};

test('a page that has not changed answers 304 to its tag', async () => {
  const { cellar, key } = await cellarWithAle();
  const browser = await browserOf(key);
  const tag = (await browser.get(`/cellars/${cellar}`)).headers.get('etag') ?? '';
  const again = await ask(`/cellars/${cellar}`, {
    headers: { cookie: browser.cookie, 'if-none-match': tag },
  });
  expect(again.status).toBe(304);
});

describe('forms', () => {
  test('make a vessel, with a decimal comma and bar as the trade writes them', async () => {
    const keeper = await foundCellar();
    const browser = await browserOf(keeper.key);
    const answer = await browser.submit(`/cellars/${keeper.cellar}/vessels`, typed);
    expect(answer.headers.get('location')).toBe(`/cellars/${keeper.cellar}/vessels/fermenter-2`);
    const { vessel } = await (await keeper.get('/vessels/fermenter-2')).json<{ vessel: object }>();
    expect(vessel).toMatchObject({
      headspaceLitre: 150.5,
      ratedGaugePressurePascal: 110_000,
      reliefGaugePressurePascal: null,
      temperatureBand: null,
      gasConnected: false,
    });
  });

  test('come back with what was typed and the problem at its field', async () => {
    const keeper = await foundCellar();
    const browser = await browserOf(keeper.key);
    const answer = await browser.submit(`/cellars/${keeper.cellar}/vessels`, {
      ...typed,
      volumeLitre: 'a lot',
      title: 'Old <Tam>',
    });
    expect(answer.status).toBe(422);
    const text = await answer.text();
    expect(text).toContain('a lot');
    expect(text).toContain('Old &lt;Tam&gt;');
    expect(text).toMatch(/id="[a-z-]*volumeLitre-problem"/);
    expect((await (await keeper.get('/vessels')).json<{ vessels: [] }>()).vessels).toEqual([]);
  });

  test('start a batch and end it', async () => {
    const keeper = await foundCellar();
    await keeper.post('/vessels', fermenter);
    const browser = await browserOf(keeper.key);
    const root = `/cellars/${keeper.cellar}`;
    const started = await browser.submit(`${root}/batches`, {
      vessel: 'fermenter-1',
      batch: 'lantern-3',
      title: 'Lantern wheat',
      drink: 'ale',
      originalGravity: '1.048',
      attenuationLimitPercent: '78',
      lowCelsius: '18',
      highCelsius: '23',
      startedAt: '2030-03-16T08:30Z',
    });
    expect(started.headers.get('location')).toBe(`${root}/vessels/fermenter-1`);
    const { batch } = await (await keeper.get('/batches/lantern-3')).json<{ batch: object }>();
    expect(batch).toMatchObject({
      attenuationLimit: 0.78,
      startedAt: Date.parse('2030-03-16T08:30:00Z') / 1000,
    });
    await browser.submit(`${root}/batches/lantern-3/end`, {});
    const ended = await (await keeper.get('/batches/lantern-3')).json<{
      batch: { endedAt: number };
      status: object | null;
    }>();
    expect(ended.batch.endedAt).toBe(beginning);
    expect(ended.status).not.toBeNull();
  });

  test('show a new key once and never again', async () => {
    const keeper = await cellarWithAle();
    const browser = await browserOf(keeper.key);
    const root = `/cellars/${keeper.cellar}`;
    const made = await browser.submit(`${root}/keys`, {
      title: 'Probe of Long Meg',
      role: 'sensor',
      vessels: 'fermenter-1',
    });
    const key = /gyl\.[a-z0-9-]+\.[A-Za-z0-9_-]{43}/.exec(await made.text())?.[0] ?? '';
    const sent = await keeper
      .withKey(key)
      .send([{ n: 'fermenter-1/temperature', u: 'Cel', v: 19 }]);
    expect(sent.status).toBe(200);
    expect(await (await browser.get(`${root}/set-up`)).text()).not.toContain(key);
  });

  test('are closed to a viewer', async () => {
    const keeper = await cellarWithAle();
    const browser = await browserOf(await keyFor(keeper, 'viewer'));
    const root = `/cellars/${keeper.cellar}`;
    for (const [path, fields] of [
      ['/vessels', typed],
      ['/batches', { vessel: 'fermenter-1', batch: 'x', title: 'X', drink: 'ale' }],
      ['/keys', { title: 'X', role: 'viewer' }],
      ['/receivers', { title: 'X', url: 'https://receiver.test/' }],
      ['/batches/haymaker-12/end', {}],
      ['/batches/haymaker-12/stage', { stage: 'conditioning' }],
      ['/vessels/fermenter-1/alarms/over-pressure/acknowledge', { note: '' }],
    ] as const) {
      const answer = await browser.submit(root + path, fields);
      expect({ path, status: answer.status }).toEqual({ path, status: 403 });
    }
  });

  test('acknowledge an alarm under the name of whoever holds the key', async () => {
    const keeper = await cellarWithAle();
    await keeper.send([{ n: 'fermenter-1/gauge-pressure', u: 'Pa', v: 140_000 }]);
    const browser = await browserOf(await keyFor(keeper, 'operator'));
    const answer = await browser.submit(
      `/cellars/${keeper.cellar}/vessels/fermenter-1/alarms/over-pressure/acknowledge`,
      { note: 'opened the spunding valve' },
    );
    expect(answer.status).toBe(303);
    const { status } = await (await keeper.get('/vessels/fermenter-1')).json<{
      status: { alarms: { state: string; acknowledgedBy: string; note: string }[] };
    }>();
    expect(status.alarms[0]).toMatchObject({
      state: 'acknowledged',
      acknowledgedBy: 'A operator',
      note: 'opened the spunding valve',
    });
  });
});
