/**
 * The CBOR reader against RFC 8949: the examples of appendix A (fixtures/standards), what section 3 and appendix F
 * call not well-formed, and what this reader refuses by choice. Then anything at all: it never throws.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import appendix from '../../fixtures/standards/rfc8949_appendix_a.json' with { type: 'json' };
import {
  type CborFault,
  type CborItem,
  cborFaultInWords,
  readCbor,
} from '../../src/wire/cbor-read.ts';

const bytesOf = (hex: string): Uint8Array =>
  Uint8Array.from(hex.match(/../g) ?? [], (pair) => Number.parseInt(pair, 16));

const hexOf = (bytes: Uint8Array): string =>
  Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');

const itemOf = (hex: string): CborItem => {
  const read = readCbor(bytesOf(hex));
  if (!read.ok) throw new Error(cborFaultInWords(read.fault));
  return read.value;
};

const faultOf = (hex: string): CborFault => {
  const read = readCbor(bytesOf(hex));
  if (read.ok) throw new Error(`${hex} was read`);
  return read.fault;
};

/** Diagnostic notation of RFC 8949 section 8, as far as the appendix needs it. */
const diagnostic = (item: CborItem): string => {
  switch (item.kind) {
    case 'integer':
      return String(item.number);
    case 'float':
      return Number.isInteger(item.number) && Math.abs(item.number) < 1e21
        ? `${Object.is(item.number, -0) ? '-0' : item.number}.0`
        : String(item.number);
    case 'text':
      return JSON.stringify(item.text);
    case 'bytes':
      return `h'${hexOf(item.bytes)}'`;
    case 'array':
      return `[${item.definite ? '' : '_ '}${item.items.map(diagnostic).join(', ')}]`;
    case 'map':
      return `{${[...item.entries].map(([key, value]) => `${JSON.stringify(key)}: ${diagnostic(value)}`).join(', ')}}`;
    case 'tag':
      return `${item.tag}(${diagnostic(item.item)})`;
    case 'simple':
      return ['false', 'true', 'null', 'undefined'][item.simple - 20] ?? `simple(${item.simple})`;
  }
};

describe('RFC 8949 appendix A', () => {
  const indefiniteStrings = ['5f42010243030405ff', '7f657374726561646d696e67ff'];
  /** The collection has it from RFC 7049; RFC 8949 section 3.3 no longer allows it. */
  const olderSimple = 'f818';
  const bignums = ['c249010000000000000000', 'c349010000000000000000'];
  const numbers = /^-?(?:\d|Infinity|NaN)[\d.e+]*(?:nfinity)?$/;
  let compared = 0;

  it('reads each example as printed, but for strings of indefinite length', () => {
    for (const { hex, diagnostic: printed } of appendix.examples) {
      if (indefiniteStrings.includes(hex)) {
        expect(faultOf(hex)).toEqual({ kind: 'indefinite-string', at: 0 });
      } else if (hex === olderSimple) {
        expect(faultOf(hex)).toEqual({ kind: 'reserved', at: 0, found: 0xf8 });
      } else if (bignums.includes(hex)) {
        expect(diagnostic(itemOf(hex))).toBe(
          `${Number.parseInt(hex[1] ?? '', 16)}(h'${hex.slice(4)}')`,
        );
      } else if (numbers.test(printed)) {
        const item = itemOf(hex);
        expect(item).toEqual({
          kind: /[.IN]|e/.test(printed) ? 'float' : 'integer',
          number: Number(printed),
        });
      } else {
        expect(diagnostic(itemOf(hex))).toBe(printed.replaceAll('{_ ', '{'));
      }
      compared += 1;
    }
    expect(compared).toBe(82);
  });

  it('tells every example cut short from one that is whole', () => {
    let cut = 0;
    for (const { hex } of appendix.examples) {
      if ([...indefiniteStrings, olderSimple].includes(hex)) continue;
      for (let length = 0; length < hex.length / 2; length += 1) {
        expect(faultOf(hex.slice(0, 2 * length)).kind).toBe('cut-off');
        cut += 1;
      }
      expect(faultOf(`${hex}00`)).toEqual({ kind: 'more-behind', at: hex.length / 2 });
    }
    expect(cut).toBeGreaterThan(300);
  });
});

describe('what is not well-formed (RFC 8949 section 3 and appendix F)', () => {
  it.each([
    ['reserved additional information 28', '1c', 'reserved'],
    ['reserved additional information 29', '5d', 'reserved'],
    ['reserved additional information 30', 'fe', 'reserved'],
    ['an integer of indefinite length', '1f', 'reserved'],
    ['a negative integer of indefinite length', '3f', 'reserved'],
    ['a tag of indefinite length', 'df00', 'reserved'],
    ['a simple value below 32 in two bytes', 'f818', 'reserved'],
    ['false in two bytes', 'f814', 'reserved'],
    ['a break by itself', 'ff', 'stray-break'],
    ['a break in an array of definite length', '82 01 ff', 'stray-break'],
    ['a break where a value of a map must stand', 'bf 00 ff', 'stray-break'],
    ['a break as the item of a tag', 'c0 ff', 'stray-break'],
    ['an array without its end', '9f 01', 'cut-off'],
    ['a map that promises more than there is', 'ba ff ff ff ff 00 00', 'cut-off'],
    ['an array that promises 2^64 - 1 items', '9b ff ff ff ff ff ff ff ff', 'cut-off'],
    ['a text that promises 2^64 - 1 bytes', '7b ff ff ff ff ff ff ff ff 61', 'cut-off'],
    ['nothing', '', 'cut-off'],
  ])('%s', (_name, hex, kind) => {
    expect(faultOf(hex.replaceAll(' ', '')).kind).toBe(kind);
  });
});

describe('what is well-formed and refused', () => {
  it.each([
    ['strings of indefinite length', '7f6161ff', { kind: 'indefinite-string', at: 0 }],
    ['bytes of indefinite length', '815f4101ff', { kind: 'indefinite-string', at: 1 }],
    ['text that is no UTF-8', '62c328', { kind: 'not-utf8', at: 0 }],
    ['an overlong form', '8162c080', { kind: 'not-utf8', at: 1 }],
    ['half of a surrogate pair', '63eda080', { kind: 'not-utf8', at: 0 }],
    ['an integer key twice (section 5.6)', 'a200010002', { kind: 'key-twice', at: 3, found: '0' }],
    ['a text key twice', 'a2616101616102', { kind: 'key-twice', at: 4, found: '"a"' }],
    ['a key that is a float', 'a1f93c0001', { kind: 'key-kind', at: 1 }],
    ['a key that is an array', 'a18001', { kind: 'key-kind', at: 1 }],
  ])('%s', (_name, hex, fault) => {
    expect(faultOf(hex)).toEqual(fault);
  });

  it('tells the integer key 1 from the text key "1"', () => {
    expect(itemOf('a2010061310 0'.replaceAll(' ', ''))).toMatchObject({ kind: 'map' });
  });

  it('takes 16 levels and refuses the 17th, however deep it goes on', () => {
    expect(itemOf(`${'81'.repeat(15)}80`).kind).toBe('array');
    expect(faultOf(`${'81'.repeat(16)}80`)).toEqual({ kind: 'too-deep', at: 16, most: 16 });
    expect(faultOf('81'.repeat(100_000)).kind).toBe('too-deep');
    expect(faultOf('c4'.repeat(100_000)).kind).toBe('too-deep');
    expect(faultOf('a100'.repeat(100_000)).kind).toBe('too-deep');
    expect(faultOf('9f'.repeat(100_000)).kind).toBe('too-deep');
  });
});

describe('numbers', () => {
  it('reads integers in longer forms than they need', () => {
    for (const hex of ['1805', '190005', '1a00000005', '1b0000000000000005'])
      expect(itemOf(hex)).toEqual({ kind: 'integer', number: 5 });
  });

  it('reads every half float as its definition says (IEEE 754 binary16)', () => {
    let compared = 0;
    for (let bits = 0; bits < 0x10000; bits += 1) {
      const item = itemOf(`f9${bits.toString(16).padStart(4, '0')}`);
      const exponent = (bits >> 10) & 31;
      const mantissa = bits & 1023;
      const sign = bits >> 15 === 0 ? 1 : -1;
      const expected =
        exponent === 31
          ? mantissa === 0
            ? sign * Number.POSITIVE_INFINITY
            : Number.NaN
          : sign * 2 ** Math.max(exponent - 15, -14) * ((exponent === 0 ? 0 : 1) + mantissa / 1024);
      if (item.kind !== 'float' || !Object.is(item.number, expected)) throw new Error(String(bits));
      compared += 1;
    }
    expect(compared).toBe(65_536);
  });

  it('gives the nearest double for integers of 64 bits', () => {
    fc.assert(
      fc.property(fc.bigInt({ min: 0n, max: 2n ** 64n - 1n }), (value) => {
        const hex = value.toString(16).padStart(16, '0');
        expect(itemOf(`1b${hex}`)).toEqual({ kind: 'integer', number: Number(value) });
        expect(itemOf(`3b${hex}`)).toEqual({ kind: 'integer', number: Number(-1n - value) });
      }),
    );
  });
});

describe('any bytes', () => {
  it('give an item or a fault in words, and never an exception', () => {
    let faults = 0;
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 60 }), (bytes) => {
        const read = readCbor(bytes);
        if (read.ok) return;
        faults += 1;
        expect(cborFaultInWords(read.fault)).toMatch(/^[a-z].*; [a-z].*[^.]$/);
      }),
      { numRuns: 3000 },
    );
    expect(faults).toBeGreaterThan(100);
  });
});
