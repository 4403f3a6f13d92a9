/** The forms in which readings may come: each says the same, and each is refused whole, by name of what is wrong. */
import { beforeEach, describe, expect, test } from 'vitest';
import printed from '../../fixtures/standards/rfc8428_cbor.json' with { type: 'json' };
import { cborOf, hexBytes } from '../wire/write-cbor.ts';
import {
  type Asking,
  beginning,
  cellarWithAle,
  fermenter,
  problemOf,
  setClock,
} from './cellar-fixture.ts';
import { gzipped } from './gzipped.ts';

beforeEach(() => setClock(beginning));

const cbor = 'application/senml+cbor';
const json = 'application/senml+json';
const csv = 'text/csv';

const latestOf = async (cellar: Asking) =>
  (
    await (
      await cellar.get('/vessels/fermenter-1')
    ).json<{
      status: { latest: Record<string, { value: number; time: number }> };
    }>()
  ).status.latest;

const refusal = async (answer: Response, cellar: Asking) => {
  const { detail } = await problemOf(answer);
  expect(await latestOf(cellar)).toEqual({});
  return { status: answer.status, detail };
};

const counts = { stored: 2, repeated: 0, corrected: 0 };
const latest = {
  gravity: { value: 1.0515, time: beginning - 60 },
  temperature: { value: 19.2, time: beginning - 60 },
};

const pack = [
  { bn: 'fermenter-1/', bt: beginning - 60, n: 'gravity', u: '/', v: 1.0515 },
  { n: 'temperature', u: 'Cel', v: 19.2 },
];
const cborPack = cborOf([
  new Map<number, unknown>([
    [-2, 'fermenter-1/'],
    [-3, beginning - 60],
    [0, 'gravity'],
    [1, '/'],
    [2, { tag: 4, item: [-4, 10_515] }],
  ]),
  new Map<number, unknown>([
    [0, 'temperature'],
    [1, 'Cel'],
    [2, 19.2],
  ]),
]);
const iso = new Date((beginning - 60) * 1000).toISOString();
const csvPack = `time,gravity (SG),temperature (°F)\r\n${iso},1.0515,66.56\r\n`;

describe('the same two readings', () => {
  test.each([
    ['SenML in JSON', json, '', JSON.stringify(pack)],
    ['SenML in CBOR', cbor, '', cborPack],
    ['CSV', csv, '?vessel=fermenter-1', csvPack],
    [
      'CSV with a parameter of its media type',
      `${csv}; charset=utf-8; header=present`,
      '?vessel=fermenter-1',
      csvPack,
    ],
    [
      'CSV of a local time',
      csv,
      '?vessel=fermenter-1&zone=+01:00',
      csvPack.replace(iso, new Date((beginning + 3540) * 1000).toISOString().slice(0, 19)),
    ],
    [
      'CSV with a column left out',
      csv,
      '?vessel=fermenter-1&leave-out=Remark',
      csvPack.replace('time,', 'Remark,time,').replace(iso, `hazy,${iso}`),
    ],
  ])('%s, plain and as gzip', async (_name, type, query, body) => {
    for (const encoding of ['identity', 'gzip', 'X-GZIP']) {
      const cellar = await cellarWithAle();
      const bytes = encoding === 'identity' ? body : await gzipped(body as string);
      const answer = await cellar.sendAs(`/readings${query}`, type, bytes, {
        headers: { 'content-encoding': encoding },
      });
      expect(await answer.json()).toEqual(counts);
      expect(await latestOf(cellar)).toMatchObject(latest);
      const again = await cellar.sendAs(`/readings${query}`, type, body);
      expect(await again.json()).toEqual({ ...counts, stored: 0, repeated: 2 });
    }
  });

  test('may be sent by a sensor key in every form, and for its own vessels only', async () => {
    const cellar = await cellarWithAle();
    await cellar.post('/vessels', { ...fermenter, vessel: 'fermenter-2', title: 'Old Tam' });
    const made = await cellar.post('/keys', {
      title: 'gateway',
      role: 'sensor',
      vessels: ['fermenter-2'],
    });
    const { key } = await made.json<{ key: string }>();
    const sensor = cellar.withKey(key);
    for (const [type, query, body] of [
      [json, '', JSON.stringify(pack)],
      [cbor, '', cborPack],
      [csv, '?vessel=fermenter-1', csvPack],
      ['application/sensml+json', '', JSON.stringify(pack)],
    ] as const) {
      const answer = await sensor.sendAs(`/readings${query}`, type, body);
      expect(await refusal(answer, cellar)).toEqual({
        status: 403,
        detail: expect.stringMatching(/this key may not write readings of vessel fermenter-1/),
      });
    }
    const own = await sensor.sendAs('/readings?vessel=fermenter-2', csv, csvPack);
    expect(await own.json()).toEqual(counts);
  });
});

describe('a form that is not taken', () => {
  test('is told which are, in words and in Accept-Post', async () => {
    const cellar = await cellarWithAle();
    for (const type of [
      'application/json',
      'application/cbor',
      'text/plain',
      'multipart/form-data; boundary=x',
      '',
    ]) {
      const answer = await cellar.sendAs('/readings', type, JSON.stringify(pack));
      const types =
        'application/senml+json, application/senml+cbor, text/csv, application/sensml+json';
      expect(answer.headers.get('accept-post')).toBe(types);
      expect(await refusal(answer, cellar)).toEqual({
        status: 415,
        detail: expect.stringContaining(types),
      });
    }
  });

  test('is told which encodings are', async () => {
    const cellar = await cellarWithAle();
    for (const encoding of ['br', 'deflate', 'zstd', 'gzip, gzip']) {
      const answer = await cellar.sendAs('/readings', json, JSON.stringify(pack), {
        headers: { 'content-encoding': encoding },
      });
      expect(answer.headers.get('accept-encoding')).toBe('gzip');
      expect(await refusal(answer, cellar)).toEqual({
        status: 415,
        detail: expect.stringContaining('send gzip'),
      });
    }
  });
});

describe('a gzip body that is refused', () => {
  const send = async (cellar: Asking, body: Uint8Array<ArrayBuffer> | string) =>
    refusal(
      await cellar.sendAs('/readings', json, body, { headers: { 'content-encoding': 'gzip' } }),
      cellar,
    );

  test('is cut off, has more behind it, or is none', async () => {
    const cellar = await cellarWithAle();
    const whole = await gzipped(JSON.stringify(pack));
    const flipped = whole.slice();
    flipped[whole.length - 6] = (flipped[whole.length - 6] ?? 0) ^ 1;
    for (const body of [
      whole.slice(0, -3),
      whole.slice(0, 12),
      new Uint8Array([...whole, 1]),
      new Uint8Array([...whole, ...whole]),
      flipped,
      JSON.stringify(pack),
    ])
      expect(await send(cellar, body)).toEqual({
        status: 400,
        detail: expect.stringContaining('gzip'),
      });
  });

  test('inflates to more than a pack may have, by little or a thousandfold', async () => {
    const cellar = await cellarWithAle();
    const blanks = (mebibytes: number) => gzipped(new Uint8Array(mebibytes * 1024 * 1024).fill(32));
    for (const bomb of [await blanks(1.0001), await blanks(64)]) {
      expect(bomb.length).toBeLessThan(100_000);
      expect(await send(cellar, bomb)).toEqual({
        status: 413,
        detail: expect.stringContaining('1048576 bytes'),
      });
    }
  });

  test('is empty inside', async () => {
    const cellar = await cellarWithAle();
    expect(await send(cellar, await gzipped(''))).toEqual({
      status: 400,
      detail: 'the request has no body',
    });
  });
});

describe('CBOR that is refused', () => {
  test.each([
    [
      'the example that RFC 8428 prints, whose name is no vessel of ours',
      printed.hex,
      422,
      /record 1 .*urn:dev:ow/,
    ],
    ['an empty array', '80', 400, /no record/],
    ['a map', 'a0', 400, /a CBOR array/],
    [
      'a bignum',
      '81a300781766 65726d656e7465722d312f74656d7065726174757265016343656c02c24113',
      400,
      /tag 2/,
    ],
    ['half a pack', '82a3', 400, /ends at byte 2/],
    ['deep nesting', '81'.repeat(5000), 400, /levels deep/],
  ])('%s', async (_name, hex, status, words) => {
    const cellar = await cellarWithAle();
    const answer = await cellar.sendAs('/readings', cbor, hexBytes(hex) as Uint8Array<ArrayBuffer>);
    expect(await refusal(answer, cellar)).toEqual({ status, detail: expect.stringMatching(words) });
  });
});

describe('CSV that is refused', () => {
  const here = '?vessel=fermenter-1';
  test.each([
    ['no vessel in the address', '', csvPack, 422, /vessel must name the vessel .*\?vessel=/],
    ['a vessel that is not here', '?vessel=fermenter-9', csvPack, 422, /no vessel fermenter-9/],
    ['a vessel that no vessel can be called', '?vessel=../x', csvPack, 422, /short name/],
    [
      'a member of the address that is not known',
      `${here}&colour=red`,
      csvPack,
      422,
      /unknown members.*colour/,
    ],
    ['a zone that is none', `${here}&zone=CET`, csvPack, 422, /zone must be Z or an offset/],
    [
      'a unit that is missing',
      here,
      'time,gravity\n2030-03-17 17:00,1.05\n',
      422,
      /without a unit/,
    ],
    ['no headings', here, '2030-03-17 17:00,1.05\n', 422, /put a line of headings first/],
    ['a time to come', here, 'time,gravity (SG)\n2031-03-17 17:00,1.05\n', 422, /lies after/],
    [
      'a time without a zone that is to come here',
      `${here}&zone=-01:00`,
      'time,gravity (SG)\n2030-03-17 17:46,1.05\n',
      422,
      /lies after/,
    ],
    [
      'a value that cannot be',
      here,
      'time,gravity (SG)\n2030-03-17 17:00,1050\n',
      422,
      /line 2, column 2.*outside/,
    ],
    [
      'two values for one time',
      here,
      'time,gravity (SG)\n2030-03-17 17:00,1.05\n2030-03-17 17:00Z,1.06\n',
      422,
      /line 3 gives gravity.*line 2 as 1.05/,
    ],
    ['headings alone', here, 'time,gravity (SG)\n', 422, /at least one record/],
    ['a quote that is never closed', here, 'time,gravity (SG)\n"2030', 422, /never closed/],
    [
      'an unknown column',
      here,
      'time,colour (EBC)\n2030-03-17 17:00,12\n',
      422,
      /leave-out|left out/,
    ],
  ])('%s', async (_name, query, body, status, words) => {
    const cellar = await cellarWithAle();
    const answer = await cellar.sendAs(`/readings${query}`, csv, body);
    expect(await refusal(answer, cellar)).toEqual({ status, detail: expect.stringMatching(words) });
  });

  test('is Latin-1, as some loggers write', async () => {
    const cellar = await cellarWithAle();
    const latin = Uint8Array.from('time,temperature (°C)\n', (letter) => letter.charCodeAt(0));
    const answer = await cellar.sendAs(`/readings${here}`, csv, latin);
    expect(await refusal(answer, cellar)).toEqual({
      status: 400,
      detail: 'the body is not UTF-8 text',
    });
  });

  test('names twenty faults and counts the rest', async () => {
    const cellar = await cellarWithAle();
    const lines = Array.from(
      { length: 50 },
      (_, index) => `2030-03-17 10:${10 + index},hot\n`,
    ).join('');
    const answer = await cellar.sendAs(`/readings${here}`, csv, `time,temperature (°C)\n${lines}`);
    expect(answer.status).toBe(422);
    const { detail, errors } = await answer.json<{ detail: string; errors: readonly unknown[] }>();
    expect(detail).toMatch(/^line 2, column 2.*\(and 49 more faults\); nothing was stored$/);
    expect(errors).toHaveLength(20);
  });

  test('has more readings than a pack may have', async () => {
    const cellar = await cellarWithAle();
    const lines = Array.from({ length: 10_001 }, (_, index) => `${beginning - index},19\n`).join(
      '',
    );
    const answer = await cellar.sendAs(`/readings${here}`, csv, `time,temperature (°C)\n${lines}`);
    expect(await refusal(answer, cellar)).toEqual({
      status: 413,
      detail: expect.stringContaining('at most 10000'),
    });
  });
});
