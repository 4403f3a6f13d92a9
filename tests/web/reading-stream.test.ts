/** A stream of SenML over a slow body: stored and judged as it arrives, counted at its end, ended by its first fault. */
import { beforeEach, describe, expect, test } from 'vitest';
import { type Asking, beginning, cellarWithAle, fermenter, setClock } from './cellar-fixture.ts';
import { gzipped } from './gzipped.ts';

beforeEach(() => setClock(beginning));

const sensml = 'application/sensml+json';

/** A body that is written by the test, piece by piece, and the answer to it. */
const opened = (cellar: Asking) => {
  const { readable, writable } = new TransformStream<Uint8Array, Uint8Array>();
  const writer = writable.getWriter();
  const answer = cellar.sendAs('/readings', sensml, readable);
  return {
    answer,
    write: (text: string) => writer.write(new TextEncoder().encode(text)),
    close: () => writer.close(),
  };
};

type Status = {
  readonly status: {
    readonly latest: Readonly<Record<string, { readonly value: number; readonly time: number }>>;
    readonly alarms: readonly { readonly kind: string }[];
  };
};

const viewOf = async (cellar: Asking, vessel = 'fermenter-1') =>
  (await (await cellar.get(`/vessels/${vessel}`)).json<Status>()).status;

/** Asks until the latest value is there: what has been written is on its way, and nobody tells when it is stored. */
const seen = async (cellar: Asking, channel: string, value: number, vessel?: string) => {
  while (true) {
    const { latest } = await viewOf(cellar, vessel);
    if (latest[channel]?.value === value) return latest[channel];
  }
};

type Report = {
  readonly status?: number;
  readonly detail?: string;
  readonly records?: number;
  readonly record?: number;
  readonly stored: number;
  readonly repeated: number;
  readonly corrected: number;
};

const reportOf = async (answer: Promise<Response>) => (await answer).json<Report>();

describe('a stream over hours', () => {
  test('is stored record by record, with base values carried over and "now" as it passes', async () => {
    const cellar = await cellarWithAle();
    const stream = opened(cellar);
    await stream.write('[{"bn":"fermenter-1/","bu":"Cel","n":"temperature","v":19},');
    expect(await seen(cellar, 'temperature', 19)).toMatchObject({ time: beginning });
    for (let hour = 1; hour <= 6; hour += 1) {
      await setClock(beginning + 3600 * hour);
      await stream.write(`{"n":"temperature","t":-30,"v":${19 + hour / 10}}`);
      expect(await seen(cellar, 'temperature', 19 + hour / 10)).toMatchObject({
        time: beginning + 3600 * hour - 30,
      });
      await stream.write(',');
    }
    await stream.write('{"u":"/","n":"gravity","v":1.05}]');
    await stream.close();
    const answer = await stream.answer;
    expect(answer.status).toBe(200);
    expect(await answer.json()).toEqual({ records: 8, stored: 8, repeated: 0, corrected: 0 });
  });

  test('is judged while it lasts: an alarm stands before the stream ends', async () => {
    const cellar = await cellarWithAle();
    const stream = opened(cellar);
    await stream.write(`[{"bn":"fermenter-1/","bu":"Pa","n":"gauge-pressure","v":150000}`);
    await seen(cellar, 'gauge-pressure', 150_000);
    await stream.write(`,{"n":"gauge-pressure","v":151000,"t":1}`);
    await seen(cellar, 'gauge-pressure', 151_000);
    expect((await viewOf(cellar)).alarms.map(({ kind }) => kind)).toContain('over-pressure');
    await stream.write(']');
    await stream.close();
    expect(await reportOf(stream.answer)).toMatchObject({ records: 2, stored: 2 });
  });

  test('may name several vessels, and sent again it stores nothing twice', async () => {
    const cellar = await cellarWithAle();
    await cellar.post('/vessels', { ...fermenter, vessel: 'fermenter-2', title: 'Old Tam' });
    const text = JSON.stringify([
      { bu: 'Cel', bt: beginning - 600, n: 'fermenter-1/temperature', v: 19 },
      { n: 'fermenter-2/temperature', v: 18 },
      { n: 'fermenter-1/temperature', t: 60, v: 19.1 },
    ]);
    expect(await reportOf(cellar.sendAs('/readings', sensml, text))).toEqual({
      records: 3,
      stored: 3,
      repeated: 0,
      corrected: 0,
    });
    const zipped = cellar.sendAs('/readings', sensml, await gzipped(text), {
      headers: { 'content-encoding': 'gzip' },
    });
    expect(await reportOf(zipped)).toEqual({ records: 3, stored: 0, repeated: 3, corrected: 0 });
  });

  test('may be long: forty thousand records in one body, under the budget of one key by several', async () => {
    const cellar = await cellarWithAle();
    for (const number of [2, 3])
      await cellar.post('/vessels', {
        ...fermenter,
        vessel: `fermenter-${number}`,
        title: 'Old Tam',
      });
    const stream = opened(cellar);
    let records = 0;
    await stream.write(`[{"bu":"Cel","bt":${beginning - 900_000}}`);
    for (let pack = 0; pack < 200; pack += 1) {
      let text = '';
      for (let index = 0; index < 200; index += 1) {
        text += `,{"n":"fermenter-${1 + (records % 3)}/temperature","t":${20 * records},"v":19}`;
        records += 1;
      }
      await stream.write(text);
    }
    await stream.write(']');
    await stream.close();
    expect(await reportOf(stream.answer)).toEqual({
      records: 40_001,
      stored: 40_000,
      repeated: 0,
      corrected: 0,
    });
  });
});

describe('a stream that ends early', () => {
  const good = `{"bn":"fermenter-1/","bu":"Cel","bt":${beginning - 600},"n":"temperature","v":19}`;
  const more = '{"n":"temperature","t":60,"v":19.1}';

  test.each([
    ['a record that is no JSON', '{n:1}', 400, /record 3 .*no JSON/],
    ['a record without a value', '{"n":"temperature"}', 400, /record 3 .*no value/],
    ['a value that cannot be', '{"n":"temperature","v":400}', 422, /record 3 .*400/],
    [
      'a time to come',
      '{"n":"temperature","v":19,"t":9000}',
      422,
      /record 3 .*set the sensor's clock/,
    ],
    [
      'an unknown vessel',
      '{"bn":"fermenter-9/","n":"temperature","v":19}',
      422,
      /record 3.*fermenter-9/,
    ],
    [
      'a second value for a time in the same piece',
      `{"n":"temperature","t":60,"v":20}`,
      422,
      /record 3 .*19.1/,
    ],
    ['an end without a bracket', '{"n":"temperature","t":120', 400, /after 2 records/],
    ['a byte that is no UTF-8', '\ud800', 400, /record 3/],
  ])('%s: says where, and how many were stored, which stay', async (_name, bad, status, words) => {
    const cellar = await cellarWithAle();
    const stream = opened(cellar);
    await stream.write(`[${good},${more},${bad}`);
    await stream.close().catch(() => undefined);
    const report = await reportOf(stream.answer);
    expect(report).toMatchObject({
      status,
      detail: expect.stringMatching(words),
      stored: 2,
      repeated: 0,
    });
    expect(report.detail).toMatch(/2 were taken, 2 of them were new and are stored; /);
    expect(report.detail).not.toContain('nothing');
    expect((await viewOf(cellar)).latest.temperature).toMatchObject({
      value: 19.1,
      time: beginning - 540,
    });
  });

  test('because its key is revoked', async () => {
    const cellar = await cellarWithAle();
    const made = await cellar.post('/keys', {
      title: 'gateway',
      role: 'sensor',
      vessels: ['fermenter-1'],
    });
    const { key, keyId } = await made.json<{ key: string; keyId: string }>();
    const stream = opened(cellar.withKey(key));
    await stream.write(`[${good}`);
    await seen(cellar, 'temperature', 19);
    const revoked = await cellar.sendAs(`/keys/${keyId}`, 'application/json', null, {
      method: 'DELETE',
    });
    expect(revoked.status).toBe(204);
    await setClock(beginning + 2);
    await stream.write(`,${more}`);
    await stream.close().catch(() => undefined);
    expect(await reportOf(stream.answer)).toMatchObject({ status: 401, stored: 1 });
    expect((await viewOf(cellar)).latest.temperature?.value).toBe(19);
  });

  test('because its budget is spent: with 429, when to come again, and what was stored', async () => {
    const cellar = await cellarWithAle();
    const stream = opened(cellar);
    await stream.write(`[{"bn":"fermenter-1/temperature","bu":"Cel","bt":${beginning - 900_000}}`);
    const piece = (pack: number) =>
      Array.from({ length: 500 }, (_, index) => `,{"t":${pack * 500 + index},"v":19}`).join('');
    let packs = 0;
    let answered = false;
    const answering = stream.answer.then((answer) => {
      answered = true;
      return answer;
    });
    // Nobody reads on behind the record that was refused, so that a write may wait for ever.
    for (; packs < 60 && !answered; packs += 1)
      await Promise.race([stream.write(piece(packs)).catch(() => undefined), answering]);
    const answer = await answering;
    expect(answer.status).toBe(429);
    expect(Number(answer.headers.get('retry-after'))).toBeGreaterThan(0);
    expect((await answer.json<Report>()).stored).toBe(20_000);
  });
});
