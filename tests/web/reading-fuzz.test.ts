/**
 * The door against whatever is thrown at it: broken CBOR, gzip and CSV, deep nesting, huge numbers, names of
 * prototypes. The answer is always a problem of the sender's, never an error of ours, and nothing is stored.
 */
import fc from 'fast-check';
import { beforeEach, expect, test } from 'vitest';
import printed from '../../fixtures/standards/rfc8428_cbor.json' with { type: 'json' };
import { cborOf, hexBytes } from '../wire/write-cbor.ts';
import { type Asking, beginning, cellarWithAle, setClock } from './cellar-fixture.ts';
import { gzipped } from './gzipped.ts';

beforeEach(() => setClock(beginning));

/** Everything that the cellar knows of its vessel's readings and alarms. */
const stateOf = async (cellar: Asking): Promise<string> => {
  const [view, readings] = await Promise.all([
    cellar.get('/vessels/fermenter-1'),
    cellar.get('/vessels/fermenter-1/readings?as=json'),
  ]);
  return `${await view.text()}${await readings.text()}`;
};

type Thrown = {
  readonly path: string;
  readonly type: string;
  readonly body: string | Uint8Array<ArrayBuffer>;
  readonly gzip: boolean;
};

const paths = [
  '/readings',
  '/readings?vessel=fermenter-1',
  '/vessels/fermenter-1/history',
  '/archive',
] as const;
const types = [
  'application/senml+json',
  'application/senml+cbor',
  'application/sensml+json',
  'application/jsonl',
  'text/csv',
  'application/json',
] as const;

const bytes = (value: Uint8Array): Uint8Array<ArrayBuffer> => Uint8Array.from(value);

const oddNumber = fc.constantFrom(
  '1e999',
  '-1e999',
  '1e-999',
  '9'.repeat(400),
  '-0',
  '0x10',
  'NaN',
  '1_000',
  '00',
);
const oddName = fc.constantFrom(
  '__proto__',
  'constructor',
  'toString',
  'hasOwnProperty',
  'fermenter-1/__proto__',
  'fermenter-1/constructor',
  '__proto__/temperature',
  'constructor/temperature',
  'fermenter-1/temperature/..',
  '\u0000',
  '\ud800',
);

const oddRecord = fc
  .tuple(oddName, oddNumber, fc.constantFrom('n', 'bn', 'u', 'vs', '__proto__', 'constructor_'))
  .map(
    ([name, number, label]) => `[{"${label}":${JSON.stringify(name)},"v":${number},"t":${number}}]`,
  );

const nested = fc
  .tuple(
    fc.constantFrom('[', '{"a":', '{"__proto__":', '[{"n":['),
    fc.integer({ min: 1, max: 20_000 }),
  )
  .map(([piece, depth]) => piece.repeat(depth));

const brokenCbor = fc
  .tuple(fc.uint8Array({ minLength: 1, maxLength: 12 }), fc.nat())
  .map(([noise, place]) => {
    const whole = hexBytes(printed.hex);
    whole.set(noise.subarray(0, whole.length - (place % whole.length)), place % whole.length);
    return bytes(whole);
  });

const oddCbor = fc
  .tuple(
    oddName,
    fc.constantFrom<unknown>(
      1e308,
      -1,
      null,
      true,
      [],
      { tag: 2, item: new Uint8Array(9) },
      { tag: 4, item: [999, 1] },
    ),
  )
  .map(([name, value]) =>
    bytes(
      cborOf([
        new Map<number | string, unknown>([
          [0, name.replace('\ud800', '')],
          [1, 'Cel'],
          [2, value],
        ]),
      ]),
    ),
  );

const csvCell = fc.oneof(
  oddNumber,
  oddName,
  fc.string({ maxLength: 8 }),
  fc.constantFrom('"', '""', '2030-03-17', '=1+1', ';', '\t', '19'),
);
const brokenCsv = fc
  .array(fc.array(csvCell, { minLength: 1, maxLength: 4 }), { minLength: 1, maxLength: 6 })
  .chain((rows) =>
    fc
      .constantFrom(
        '',
        'time,temperature (°C)\n',
        'time,__proto__ (°C)\n',
        'time,gravity (constructor)\n',
      )
      .map((headings) => headings + rows.map((row) => `x${row.join(',')}`).join('\n')),
  );

const body: fc.Arbitrary<Thrown['body']> = fc.oneof(
  fc
    .string({ unit: 'binary', minLength: 1, maxLength: 80 })
    .map((text) => bytes(new TextEncoder().encode(text))),
  fc.uint8Array({ minLength: 1, maxLength: 80 }).map(bytes),
  oddRecord,
  nested,
  brokenCbor,
  oddCbor,
  brokenCsv,
);

const thrown: fc.Arbitrary<Thrown> = fc.record({
  path: fc.constantFrom(...paths),
  type: fc.constantFrom(...types),
  body,
  gzip: fc.boolean(),
});

test('nothing that is thrown at the door is stored, breaks it, or is answered with an error of ours', async () => {
  const cellar = await cellarWithAle();
  await cellar.send([{ n: 'fermenter-1/temperature', u: 'Cel', v: 19 }]);
  const before = await stateOf(cellar);
  const answered: Record<number, number> = {};
  await fc.assert(
    fc.asyncProperty(thrown, fc.nat({ max: 40 }), async ({ path, type, body, gzip }, cut) => {
      const packed = gzip ? await gzipped(body) : body;
      // A gzip body is cut, broken or left whole.
      const sent =
        packed instanceof Uint8Array && gzip && cut < 10
          ? packed.slice(0, packed.length - cut)
          : packed;
      const answer = await cellar.sendAs(
        path,
        type,
        sent.length === 0 ? null : sent,
        gzip ? { headers: { 'content-encoding': 'gzip' } } : {},
      );
      const text = await answer.text();
      expect({
        status: answer.status,
        type: answer.headers.get('content-type'),
        text,
      }).toMatchObject({
        type: 'application/problem+json',
      });
      expect(answer.status).toBeGreaterThanOrEqual(400);
      expect(answer.status).toBeLessThan(500);
      const { status, detail } = JSON.parse(text) as { status: number; detail: string };
      expect(status).toBe(answer.status);
      expect(detail.length).toBeGreaterThan(10);
      answered[status] = (answered[status] ?? 0) + 1;
    }),
    { numRuns: 400 },
  );
  expect(await stateOf(cellar)).toBe(before);
  expect(Object.keys(answered).length).toBeGreaterThanOrEqual(3);
  expect((answered[400] ?? 0) + (answered[422] ?? 0)).toBeGreaterThan(50);
});
