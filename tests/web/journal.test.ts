/**
 * The journal: every act of a person once, with who and when, before and after; and no secret in it or in the log.
 * That each operation is entered exactly once stands in interface-document.test.ts, where all of them are run.
 */
import { runInDurableObject } from 'cloudflare:test';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { cellarStub } from '../../src/storage/env.ts';
import { actAt } from '../../src/web/journal.ts';
import {
  type Asking,
  ask,
  beginning,
  cellarWithAle,
  fermenter,
  foundCellar,
  setClock,
  testEnv,
} from './cellar-fixture.ts';
import { browserOf } from './page-browser.ts';
import { pageRoutes } from './page-list.ts';

beforeEach(() => setClock(beginning));
afterEach(() => {
  vi.restoreAllMocks();
});

type Entry = {
  readonly id: number;
  readonly at: number;
  readonly by: string;
  readonly act: string;
  readonly about: string;
  readonly note: string | null;
  readonly facts: Readonly<Record<string, string | number | null>>;
};

const entriesOf = async (keeper: Asking, query = ''): Promise<readonly Entry[]> =>
  (await (await keeper.get(`/journal${query}`)).json<{ journal: readonly Entry[] }>()).journal;

const actsOf = async (keeper: Asking): Promise<readonly string[]> =>
  (await entriesOf(keeper)).map(({ act }) => act).toReversed();

const put = (keeper: Asking, path: string, body: unknown): Promise<Response> =>
  ask(`/v1/cellars/${keeper.cellar}${path}`, {
    method: 'PUT',
    headers: { authorization: `Bearer ${keeper.key}`, 'content-type': 'application/json' },
    body: JSON.stringify(body),
  });

const remove = (keeper: Asking, path: string): Promise<Response> =>
  ask(`/v1/cellars/${keeper.cellar}${path}`, {
    method: 'DELETE',
    headers: { authorization: `Bearer ${keeper.key}` },
  });

describe('an act', () => {
  test('by a form is known by its address, where it is not entered by what it calls', () => {
    const forms = pageRoutes.filter(
      ({ method, path }) =>
        method === 'post' &&
        path.startsWith('/cellars') &&
        !/\/(receivers|push-subscriptions)/.test(path),
    );
    const silent = forms.filter(
      ({ path }) => actAt('POST', path.replace(':act', 'reset').replaceAll(':', '')) === null,
    );
    expect(silent.map(({ path }) => path)).toEqual([]);
    expect(forms.length).toBeGreaterThan(8);
  });

  test('is entered once, with who, when, and what it changed', async () => {
    const keeper = await cellarWithAle();
    await setClock(beginning + 60);
    const made = await keeper.post('/keys', { title: 'Maren', role: 'operator' });
    const { key, keyId } = await made.json<{ key: string; keyId: string }>();
    const maren = keeper.withKey(key);
    await maren.post('/batches/haymaker-12/stage', { stage: 'conditioning' });
    await maren.post('/vessels/fermenter-1/samples', { ph: 4.4, note: 'clean' });
    await put(keeper, '/vessels/fermenter-1', { ...fermenter, title: 'Long Meg II' });
    await remove(keeper, `/keys/${keyId}`);
    const entries = (await entriesOf(keeper)).toReversed();
    expect(entries.map(({ act, by, about }) => [act, by, about])).toEqual([
      ['vessel-made', 'First keeper', 'fermenter-1'],
      ['batch-started', 'First keeper', 'haymaker-12'],
      ['key-made', 'First keeper', keyId],
      ['stage-changed', 'Maren', 'haymaker-12'],
      ['sample-taken', 'Maren', 'fermenter-1'],
      ['vessel-described', 'First keeper', 'fermenter-1'],
      ['key-revoked', 'First keeper', keyId],
    ]);
    const [, , , stage, sample, described] = entries;
    expect(stage).toMatchObject({ at: beginning + 60, note: null });
    expect(JSON.parse(String(stage?.facts.before))).toMatchObject({ stage: 'fermentation' });
    expect(JSON.parse(String(stage?.facts.after))).toMatchObject({ stage: 'conditioning' });
    expect(sample?.note).toBe('clean');
    expect(described?.facts).toEqual({
      before: '{"title":"Long Meg"}',
      after: '{"title":"Long Meg II"}',
    });
  });

  test('by a form is entered as one over JSON is', async () => {
    const keeper = await cellarWithAle();
    const browser = await browserOf(keeper.key);
    const root = `/cellars/${keeper.cellar}`;
    await browser.submit(`${root}/batches/haymaker-12/stage`, { stage: 'conditioning' });
    await browser.submit(`${root}/vessels/fermenter-1/samples`, { ph: '4.4' });
    await browser.submit(`${root}/keys`, { title: 'Guest', role: 'viewer' });
    await browser.submit(`${root}/receivers`, { title: 'Phone', url: 'http://receiver.test/a' });
    await browser.submit(`${root}/batches/haymaker-12/end`, {});
    expect((await actsOf(keeper)).slice(2)).toEqual([
      'stage-changed',
      'sample-taken',
      'key-made',
      'receiver-added',
      'batch-ended',
    ]);
  });

  test('that was refused, and a look, are not entered', async () => {
    const keeper = await cellarWithAle();
    const before = await entriesOf(keeper);
    await keeper.post('/vessels', fermenter);
    await keeper.post('/batches/haymaker-12/stage', { stage: 'nowhere' });
    await keeper.post('/batches/never-made/end', {});
    await remove(keeper, '/keys/key_of_nobody');
    const browser = await browserOf(keeper.key);
    await browser.submit(`/cellars/${keeper.cellar}/keys`, { title: '', role: 'viewer' });
    expect(await entriesOf(keeper)).toEqual(before);
  });

  test('of whoever runs the server is entered without a key', async () => {
    const keeper = await foundCellar();
    await ask(`/v1/cellars/${keeper.cellar}/keeper-keys`, {
      method: 'POST',
      headers: {
        authorization: `Bearer ${testEnv.OPERATOR_SECRET}`,
        'content-type': 'application/json',
      },
      body: JSON.stringify({ title: 'Second keeper' }),
    });
    expect((await entriesOf(keeper))[0]).toMatchObject({ act: 'key-made', by: 'operator secret' });
  });
});

describe('the journal', () => {
  test('refuses to be changed or shortened, by the database itself', async () => {
    const keeper = await cellarWithAle();
    await runInDurableObject(cellarStub(testEnv, keeper.cellar), (_, { storage }) => {
      for (const statement of [`UPDATE journal SET by = 'nobody'`, 'DELETE FROM journal'])
        expect(() => storage.sql.exec(statement)).toThrow(/only ever added to/);
    });
    expect(await actsOf(keeper)).toEqual(['vessel-made', 'batch-started']);
  });

  test('comes in pages, and whole as CSV that a spreadsheet runs nothing of', async () => {
    const keeper = await foundCellar();
    const stub = cellarStub(testEnv, keeper.cellar);
    const written = 1005;
    for (let at = 0; at < written; at += 1)
      await stub.enterJournal({
        at: beginning + at,
        by: at === 0 ? '=HYPERLINK("http://elsewhere.test")' : 'Maren',
        act: 'deed-recorded',
        about: `batch-${at}`,
        note: at === 1 ? 'two "lines"\nof it' : null,
        facts: {},
      });
    const ids: number[] = [];
    let query = '?limit=300';
    for (;;) {
      const page = await entriesOf(keeper, query);
      ids.push(...page.map(({ id }) => id));
      const last = page.at(-1);
      if (last === undefined) break;
      query = `?limit=300&before=${last.id}`;
    }
    expect(ids).toHaveLength(written);
    expect(new Set(ids).size).toBe(written);
    const answer = await keeper.get('/journal.csv');
    expect(answer.headers.get('content-type')).toMatch(/^text\/csv/);
    const text = await answer.text();
    const [head, first] = text.split('\r\n');
    expect(head).toBe('id,time,by,act,about,note,facts');
    expect(first).toContain(`"'=HYPERLINK(""http://elsewhere.test"")"`);
    expect(text).toContain('"two ""lines""\nof it"');
    expect(text.match(/\r\n/g)).toHaveLength(written + 1);
    expect(text.indexOf('batch-7,')).toBeLessThan(text.indexOf('batch-1004,'));
  });

  test('is a page for keepers, with every name escaped', async () => {
    const keeper = await cellarWithAle();
    await put(keeper, '/vessels/fermenter-1', { ...fermenter, title: '<b>Meg</b>' });
    const browser = await browserOf(keeper.key);
    const page = await (await browser.get(`/cellars/${keeper.cellar}/journal`)).text();
    expect(page).toContain('Vessel described anew');
    expect(page).toContain('&lt;b&gt;Meg&lt;/b&gt;');
    expect(page).not.toContain('<b>Meg');
    expect(page).toContain('Set: title &lt;b&gt;Meg&lt;/b&gt;');
    const setUp = await (await browser.get(`/cellars/${keeper.cellar}/set-up`)).text();
    expect(setUp).toContain(`/cellars/${keeper.cellar}/journal`);
  });

  test('counts keys that open nothing, in one entry an hour', async () => {
    const keeper = await foundCellar();
    const wrong = keeper.withKey(`gyl.${keeper.cellar}.${'x'.repeat(43)}`);
    for (let time = 0; time < 5; time += 1) await wrong.get('/vessels');
    await setClock(beginning + 3599);
    await wrong.get('/vessels');
    await setClock(beginning + 3600);
    await wrong.get('/vessels');
    const counted = (await entriesOf(keeper)).filter(({ act }) => act === 'tries-refused');
    expect(counted.map(({ at, by, facts }) => [at, by, facts.count])).toEqual([
      [beginning + 3600, '', 6],
      [beginning, '', 1],
    ]);
  });
});

test('no key and no secret stands in the journal, in a list or in the log, whoever types it where', async () => {
  const lines: string[] = [];
  vi.spyOn(console, 'log').mockImplementation((...words: readonly unknown[]) => {
    lines.push(words.map(String).join(' '));
  });
  const keeper = await cellarWithAle();
  const made = await keeper.post('/keys', { title: `My key ${keeper.key}`, role: 'operator' });
  const { key } = await made.json<{ key: string }>();
  const added = await keeper.post('/receivers', {
    title: 'Phone',
    url: 'http://receiver.test/path-as-good-as-a-password?token=of-the-receiver',
  });
  const { secret, id } = await added.json<{ secret: string; id: string }>();
  expect(secret).toMatch(/^whsec_/);
  await keeper.withKey(key).post('/batches/haymaker-12/deeds', {
    deed: 'tested',
    note: `with ${key} and ${secret}`,
  });
  await keeper.post(`/receivers/${id}/test`, {});
  await remove(keeper, `/receivers/${id}`);
  const journal = await (await keeper.get('/journal')).text();
  const csv = await (await keeper.get('/journal.csv')).text();
  expect(lines.length).toBeGreaterThan(1);
  for (const text of [journal, csv, lines.join('\n')]) {
    for (const hidden of [keeper.key, key, secret]) expect(text).not.toContain(hidden);
    expect(text).not.toContain('as-good-as-a-password');
    expect(text).not.toContain('of-the-receiver');
  }
  expect(journal).toContain('(secret left out)');
});
