/**
 * RFC 8428 section 6, CBOR, clause by clause. Outside truth: the dump that the RFC prints (fixtures/standards), and
 * the JSON of section 5 to which the RFC says it is equivalent.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import printed from '../../fixtures/standards/rfc8428_cbor.json' with { type: 'json' };
import examples from '../../fixtures/standards/senml_examples.json' with { type: 'json' };
import { parseSenml } from '../../src/wire/senml.ts';
import {
  parseSenmlCbor,
  type SenmlCborFault,
  senmlCborFaultInWords,
} from '../../src/wire/senml-cbor.ts';
import { cborOf, hexBytes } from './write-cbor.ts';

const now = 1_700_000_000;

const parsed = (bytes: Uint8Array) => {
  const pack = parseSenmlCbor(bytes, now);
  if (!pack.ok) throw new Error(senmlCborFaultInWords(pack.fault));
  return pack.value;
};

const faultOf = (bytes: Uint8Array): SenmlCborFault => {
  const pack = parseSenmlCbor(bytes, now);
  if (pack.ok) throw new Error('expected a fault');
  return pack.fault;
};

const labels: Readonly<Record<string, number>> = {
  bver: -1,
  bn: -2,
  bt: -3,
  bu: -4,
  bv: -5,
  bs: -6,
  n: 0,
  u: 1,
  v: 2,
  vs: 3,
  vb: 4,
  s: 5,
  t: 6,
  ut: 7,
  vd: 8,
};

/** A pack as JSON, with the labels of table 4 and data as bytes. */
const asCbor = (pack: readonly Readonly<Record<string, unknown>>[]): Uint8Array =>
  cborOf(
    pack.map(
      (record) =>
        new Map(
          Object.entries(record).map(([label, value]) => [
            labels[label] ?? label,
            label === 'vd' ? Uint8Array.from(Buffer.from(String(value), 'base64url')) : value,
          ]),
        ),
    ),
  );

describe('the printed example', () => {
  it('says the same as the JSON of section 5.1.2', () => {
    const json = examples.packs.filter(({ section }) => section.startsWith('5.1.2'))[1]?.json;
    expect(json).toHaveLength(7);
    expect(parsed(hexBytes(printed.hex))).toEqual(
      parseSenml(json, now).ok ? (parseSenml(json, now) as { value: unknown }).value : null,
    );
    expect(parsed(hexBytes(printed.hex))).toMatchObject({ version: 5 });
    expect(parsed(hexBytes(printed.hex)).records).toHaveLength(7);
  });

  it('is refused wherever it is cut off', () => {
    const bytes = hexBytes(printed.hex);
    expect(bytes).toHaveLength(0xc3);
    for (let length = 0; length < bytes.length; length += 1)
      expect(faultOf(bytes.subarray(0, length))).toMatchObject({
        kind: 'cbor',
        fault: { kind: 'cut-off' },
      });
  });
});

it('"equivalent to the JSON representation": every printed pack gives the same records', () => {
  let compared = 0;
  for (const { json } of examples.packs) {
    if (json === null) continue;
    const fromJson = parseSenml(json, now);
    expect(parseSenmlCbor(asCbor(json as readonly Record<string, unknown>[]), now)).toEqual(
      fromJson,
    );
    compared += 1;
  }
  expect(compared).toBe(9);
});

it('"equivalent": any sound record gives the same from both', () => {
  const anyNumber = fc.double({ noNaN: true, noDefaultInfinity: true });
  const value = fc.oneof(
    fc.record({ v: anyNumber }),
    fc.record({ vs: fc.string({ unit: 'grapheme' }) }),
    fc.record({ vb: fc.boolean() }),
    fc.record({
      vd: fc.uint8Array({ maxLength: 9 }).map((bytes) => Buffer.from(bytes).toString('base64url')),
    }),
    fc.record({ s: fc.integer() }),
    fc.record({ v: fc.integer(), vs: fc.string() }),
  );
  const around = fc.record(
    {
      bn: fc.constantFrom('a/', 'b/'),
      bt: fc.double({ noNaN: true, min: -1e9, max: 2e9 }),
      bu: fc.constantFrom('Cel', 'K'),
      bv: anyNumber,
      n: fc.constantFrom('x', 'y'),
      t: fc.oneof(fc.integer(), anyNumber),
      extra: fc.jsonValue({ maxDepth: 2 }),
    },
    { requiredKeys: ['n'] },
  );
  const record = fc.tuple(around, value).map(([one, other]) => ({ ...one, ...other }));
  let sound = 0;
  fc.assert(
    fc.property(fc.array(record, { minLength: 1, maxLength: 6 }), (pack) => {
      const fromJson = parseSenml(pack, now);
      expect(parseSenmlCbor(asCbor(pack), now)).toEqual(fromJson);
      if (fromJson.ok) sound += 1;
    }),
    { numRuns: 500 },
  );
  expect(sound).toBeGreaterThan(100);
});

describe('"integers, floating-point numbers, or decimal fractions (CBOR Tag 4)"', () => {
  const numberIn = (hex: string): unknown =>
    parsed(hexBytes(`81a2006161 02${hex}`)).records[0]?.value;

  it.each([
    ['an unsigned integer', '13', 19],
    ['a negative integer', '32', -19],
    ['a half float', 'f93e00', 1.5],
    ['a single float', 'fa47c35000', 100_000],
    ['a double float', 'fb3ff199999999999a', 1.1],
    ['a decimal fraction (RFC 8949 section 3.4.4: 273.15)', 'c48221196ab3', 273.15],
    ['a negative decimal fraction', 'c48221396ab2', -273.15],
    ['a decimal fraction above 1', 'c4820213', 1900],
  ])('%s', (_name, hex, number) => {
    expect(numberIn(hex)).toEqual({ kind: 'number', number });
  });

  it('rounds a decimal fraction once, as JSON does', () => {
    fc.assert(
      fc.property(fc.integer(), fc.integer({ min: -18, max: 18 }), (mantissa, exponent) => {
        const tagged = cborOf([
          new Map<number, unknown>([
            [0, 'a'],
            [2, { tag: 4, item: [exponent, mantissa] }],
          ]),
        ]);
        expect(parsed(tagged).records[0]?.value).toEqual({
          kind: 'number',
          number: JSON.parse(`${mantissa}e${exponent}`),
        });
      }),
    );
  });

  it.each([
    ['a bignum', 'c249010000000000000000', /an item with the tag 2/],
    ['a bigfloat', 'c5822003', /an item with the tag 5/],
    ['an epoch time', 'c11a514b67b0', /an item with the tag 1/],
    ['a decimal fraction of three parts', 'c483010203', /an item with the tag 4/],
    ['a decimal fraction whose mantissa is a float', 'c48200f93e00', /an item with the tag 4/],
    ['a decimal fraction whose mantissa is a bignum', 'c48220c24101', /an item with the tag 4/],
    ['text', '623139', /"19"/],
    ['null', 'f6', /null/],
    ['true', 'f5', /true/],
    ['a map', 'a0', /a map/],
    ['a simple value', 'f820', /the simple value 32/],
  ])('refuses %s', (_name, hex, found) => {
    const fault = faultOf(hexBytes(`81a200616102${hex}`));
    expect(fault).toMatchObject({ kind: 'wrong-type', record: 0, field: 'v' });
    expect(senmlCborFaultInWords(fault)).toMatch(found);
  });

  it.each([
    ['NaN', 'f97e00'],
    ['infinity', 'f97c00'],
    ['a decimal fraction beyond a double', 'c4821903e701'],
  ])('refuses %s', (_name, hex) => {
    expect(faultOf(hexBytes(`81a200616102${hex}`))).toMatchObject({
      kind: 'not-finite',
      field: 'v',
    });
  });
});

describe('"For the version number, only an unsigned integer is allowed"', () => {
  it('takes 10 as an integer', () => {
    expect(parsed(hexBytes('81a3200a0061610213')).version).toBe(10);
  });

  it.each([
    ['a float', 'f94900'],
    ['a negative integer', '29'],
    ['a decimal fraction', 'c482000a'],
  ])('refuses %s', (_name, hex) => {
    expect(faultOf(hexBytes(`81a320${hex}0061610213`))).toMatchObject({
      kind: 'wrong-type',
      field: 'bver',
    });
  });
});

describe('"a definite length text string (type 3)", "a definite length byte string (type 2)"', () => {
  it('takes both', () => {
    expect(
      parsed(hexBytes('82a2006161036162a200616108420102')).records.map(({ value }) => value),
    ).toEqual([
      { kind: 'text', text: 'b' },
      { kind: 'data', base64url: 'AQI' },
    ]);
  });

  it.each([
    ['text of indefinite length', '037f6162ff', 'cbor'],
    ['bytes of indefinite length', '085f4101ff', 'cbor'],
    ['bytes for a text', '034162', 'wrong-type'],
    ['text for bytes', '08624151', 'wrong-type'],
  ])('refuses %s', (_name, hex, kind) => {
    expect(faultOf(hexBytes(`81a2006161${hex}`)).kind).toBe(kind);
  });
});

describe('"integers for the labels, as defined in Table 4"', () => {
  it('refuses the name of a field where its integer belongs, for each of the 15', () => {
    let refused = 0;
    for (const [name, label] of Object.entries(labels)) {
      expect(faultOf(cborOf([new Map([[name, 1]])]))).toEqual({
        kind: 'label-as-text',
        record: 0,
        field: name,
        label,
      });
      refused += 1;
    }
    expect(refused).toBe(15);
  });

  it('ignores integers that are not in it, as section 4.4 asks of any unknown field', () => {
    const pack = cborOf([
      new Map<number, unknown>([
        [0, 'a'],
        [2, 1],
        [9, [1, 2]],
        [-7, null],
        [1000, 'x'],
      ]),
    ]);
    expect(parsed(pack).records).toHaveLength(1);
  });

  it('"any extensions will use string map keys": ignores them, but for those that end in _', () => {
    const unknown = new Map<number | string, unknown>([
      [0, 'a'],
      [2, 1],
      ['colour', { tag: 1, item: 5 }],
      ['constructor', 1],
    ]);
    expect(parsed(cborOf([unknown])).records).toHaveLength(1);
    expect(
      faultOf(
        cborOf([
          new Map<number | string, unknown>([
            [0, 'a'],
            [2, 1],
            ['colour_', 1],
          ]),
        ]),
      ),
    ).toMatchObject({
      kind: 'must-understand',
    });
  });
});

describe('"for non-streaming SenML, a definite length array MUST be used"', () => {
  it('refuses an array of indefinite length', () => {
    expect(faultOf(hexBytes('9fa20061610213ff'))).toEqual({ kind: 'indefinite-pack' });
  });

  it('takes records that are maps of indefinite length, of which the RFC says nothing', () => {
    expect(parsed(hexBytes('81bf0061610213ff')).records).toHaveLength(1);
  });

  it('refuses what is no array, and records that are no maps', () => {
    expect(faultOf(hexBytes('a0'))).toEqual({ kind: 'not-an-array', found: 'a map' });
    expect(faultOf(hexBytes('8101'))).toMatchObject({ kind: 'not-an-object', record: 0 });
    expect(faultOf(hexBytes('80'))).toEqual({ kind: 'empty-pack' });
  });
});

it('says every fault in words that tell what to do', () => {
  let told = 0;
  fc.assert(
    fc.property(
      fc.uint8Array({ maxLength: 40 }),
      fc.integer({ min: 0, max: 0xc2 }),
      (noise, place) => {
        const bytes = hexBytes(printed.hex);
        bytes.set(noise.subarray(0, bytes.length - place), place);
        const pack = parseSenmlCbor(bytes, now);
        if (pack.ok) return;
        told += 1;
        expect(senmlCborFaultInWords(pack.fault)).toMatch(/; [a-z].*[^.]$/s);
      },
    ),
    { numRuns: 2000 },
  );
  expect(told).toBeGreaterThan(500);
});
