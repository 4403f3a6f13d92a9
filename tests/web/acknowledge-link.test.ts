/** Links in messages by which an alarm is acknowledged once; and mail relays, which carry them too. */
import { runDurableObjectAlarm, runInDurableObject } from 'cloudflare:test';
import { beforeEach, describe, expect, test, vi } from 'vitest';
import { acknowledgeLink } from '../../src/storage/acknowledge-link.ts';
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

beforeEach(() => setClock(beginning));

type Received = { readonly headers: Record<string, string>; readonly body: string };

const arrivedAt = async (url: string): Promise<readonly Received[]> =>
  (await fetch(url)).json<Received[]>();

const until = <Value>(check: () => Promise<Value>): Promise<Value> =>
  vi.waitFor(check, { timeout: 30_000, interval: 20 });

const pressure = async (cellar: Asking, pascal: number): Promise<void> => {
  await cellar.send([{ n: 'fermenter-1/gauge-pressure', u: 'Pa', v: pascal }]);
  await runDurableObjectAlarm(vesselStub(testEnv, cellar.cellar, 'fermenter-1'));
};

/** Paths of the links that came for over-pressure, in order. */
const linksAt = async (url: string): Promise<readonly string[]> =>
  (await arrivedAt(url)).flatMap(({ body }) => {
    const { data } = JSON.parse(body) as {
      data: { acknowledge?: string; text: string; change?: { alarm: { kind: string } } };
    };
    if (data.acknowledge === undefined || data.change?.alarm.kind !== 'over-pressure') return [];
    expect(data.text).toContain(`To acknowledge it: ${data.acknowledge}`);
    expect(data.acknowledge).toMatch(/^https:\/\/cellar\.example\/acknowledge\//);
    return [new URL(data.acknowledge).pathname];
  });

const withLink = async () => {
  const cellar = await cellarWithAle();
  const url = `https://receiver.test/${crypto.randomUUID()}`;
  const made = await cellar.post('/receivers', { title: 'Phone of Maren', url });
  const { id } = await made.json<{ id: string }>();
  await pressure(cellar, 140_000);
  const link = await until(async () => {
    const [first] = await linksAt(url);
    if (first === undefined) throw new Error('no link yet');
    return first;
  });
  return { cellar, url, id, link };
};

const press = (path: string): Promise<Response> =>
  ask(path, {
    method: 'POST',
    headers: {
      origin: 'http://cellar.test',
      'content-type': 'application/x-www-form-urlencoded',
    },
    body: '',
  });

const stateOf = async (cellar: Asking): Promise<string | undefined> =>
  (
    await (
      await cellar.get('/vessels/fermenter-1')
    ).json<{
      status: { alarms: { kind: string; state: string }[] };
    }>()
  ).status.alarms.find(({ kind }) => kind === 'over-pressure')?.state;

describe('a link', () => {
  test('shows the alarm, does nothing when opened, acknowledges at the button, and works once', async () => {
    const { cellar, link } = await withLink();
    for (const _ of [1, 2]) {
      const opened = await ask(link);
      expect(opened.status).toBe(200);
      expect(opened.headers.get('cache-control')).toBe('no-store');
      expect(await opened.text()).toContain('Long Meg: Over-pressure');
    }
    expect((await ask(link, { method: 'HEAD' })).status).toBe(200);
    expect(await stateOf(cellar)).toBe('unacknowledged');
    const done = await press(link);
    expect(done.status).toBe(200);
    expect(await done.text()).toContain('Acknowledged');
    expect(await stateOf(cellar)).toBe('acknowledged');
    const { history } = await until(async () => {
      const answer = await (await cellar.get('/alarms')).json<{
        history: { transition?: string; by?: string }[];
      }>();
      expect(answer.history.some(({ transition }) => transition === 'acknowledged')).toBe(true);
      return answer;
    });
    expect(history.find(({ transition }) => transition === 'acknowledged')?.by).toBe(
      'Phone of Maren, by link',
    );
    const [entry] = await cellarStub(testEnv, cellar.cellar).journal(1, null);
    expect(entry).toMatchObject({
      act: 'alarm-acknowledged',
      by: 'Phone of Maren, by link',
      about: 'fermenter-1/over-pressure',
    });
    expect((await press(link)).status).toBe(404);
    expect((await ask(link)).status).toBe(404);
  });

  test('of two who press at once one acknowledges', async () => {
    const { link } = await withLink();
    const statuses = (await Promise.all([press(link), press(link)])).map(({ status }) => status);
    expect(statuses.toSorted()).toEqual([200, 404]);
  });

  test('that is over, guessed, of another cellar or malformed: one and the same answer', async () => {
    const { link } = await withLink();
    const other = await withLink();
    const token = link.split('.')[1] ?? '';
    await setClock(beginning + 86_400);
    const places = [
      link,
      `/acknowledge/${other.cellar.cellar}.${token}`,
      `/acknowledge/never-founded.${token}`,
      `/acknowledge/${other.cellar.cellar}.${'A'.repeat(43)}`,
      '/acknowledge/nonsense',
    ];
    const answers = await Promise.all(
      places.map(async (path) => {
        const answer = await ask(path);
        return { status: answer.status, text: await answer.text() };
      }),
    );
    expect(answers[0]?.status).toBe(404);
    for (const answer of answers) expect(answer).toEqual(answers[0]);
  });

  test('is bound to the occurrence: one of before acknowledges nothing that comes after', async () => {
    const { cellar, link } = await withLink();
    const act = (name: string) =>
      cellar.post(`/vessels/fermenter-1/alarms/over-pressure/${name}`, {});
    await act('acknowledge');
    for (let minute = 1; minute <= 30; minute += 1) {
      await setClock(beginning + minute * 60);
      await pressure(cellar, 20_000);
    }
    expect((await act('reset')).status).toBe(204);
    let minute = 30;
    await until(async () => {
      minute += 1;
      await setClock(beginning + minute * 60);
      await pressure(cellar, 140_000);
      expect(await stateOf(cellar)).toBe('unacknowledged');
    });
    await until(async () => {
      const { standing } = await (await cellar.get('/alarms')).json<{
        standing: { kind: string; occurrence: number; state: string }[];
      }>();
      expect(standing.find(({ kind }) => kind === 'over-pressure')).toMatchObject({
        occurrence: 2,
        state: 'unacknowledged',
      });
    });
    expect((await press(link)).status).toBe(404);
    expect(await stateOf(cellar)).toBe('unacknowledged');
  });

  test('is the same at each try, kept as a hash, and absent where no public address is set', async () => {
    const { cellar, link, id } = await withLink();
    await runInDurableObject(cellarStub(testEnv, cellar.cellar), async (_instance, state) => {
      const { sql } = state.storage;
      const [row] = sql.exec<{ body: string }>('SELECT body FROM news ORDER BY seq').toArray();
      const message = JSON.parse(row?.body ?? '');
      const again = await acknowledgeLink(sql, 'https://cellar.example', id, message, beginning);
      expect(again).toBe(`https://cellar.example${link}`);
      expect(await acknowledgeLink(sql, undefined, id, message, beginning)).toBeNull();
      const kept = JSON.stringify(sql.exec('SELECT * FROM acknowledge_link').toArray());
      expect(kept).not.toContain(link.split('.')[1]);
    });
  });
});

describe('a mail relay', () => {
  const template = {
    method: 'PUT',
    headers: { 'content-type': 'application/json', authorization: 'Bearer relay-secret-1' },
    body: '{"to":["maren@skerrow.example"],"subject":"{{headline}}","text":"{{text}}","see":"{{link}}"}',
  };

  test('gets a request by its template, whatever the vessel is called', async () => {
    const cellar = await cellarWithAle();
    const title = 'Long "Meg"\\ {{text}} </b>';
    const second = await cellar.post('/vessels', { ...fermenter, vessel: 'fermenter-2', title });
    expect(second.status).toBe(201);
    const url = `https://relay.test/${crypto.randomUUID()}`;
    const made = await cellar.post('/receivers', {
      title: 'Mail',
      url,
      template: { ...template, method: 'POST' },
    });
    expect(await made.json()).toMatchObject({ secret: null, title: 'Mail' });
    await cellar.send([{ n: 'fermenter-2/gauge-pressure', u: 'Pa', v: 140_000 }]);
    await until(async () => expect((await arrivedAt(url)).length).toBeGreaterThan(0));
    const [request] = await arrivedAt(url);
    expect(request?.headers).toMatchObject(template.headers);
    const body = JSON.parse(request?.body ?? '') as Record<string, string>;
    expect(Object.keys(body)).toEqual(['to', 'subject', 'text', 'see']);
    expect(body.subject).toBe(`${title}: Over-pressure, raised. High: act at once.`);
    expect(body.see).toContain(`/acknowledge/${cellar.cellar}.`);
    const listing = await (await cellar.get('/receivers')).text();
    expect(listing).toContain('"kind":"relay"');
    for (const hidden of ['relay-secret-1', new URL(url).pathname])
      expect(listing).not.toContain(hidden);
  });

  test('is refused where its template would not hold', async () => {
    const cellar = await cellarWithAle();
    const refused = await cellar.post('/receivers', {
      title: 'Mail',
      url: 'https://relay.test/x',
      template: { ...template, body: '{"text": {{text}}}' },
    });
    expect((await problemOf(refused)).detail).toContain(
      'template must be JSON with each placeholder inside a text in double quotes',
    );
  });
});
