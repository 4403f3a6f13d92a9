/** What no caller should send, and what a schema allows: the raw matter of the fuzz test. */
import { interfaceDocument } from '../../src/web/interface/document.ts';
import type { Random } from './random.ts';

/** In every piece of text that a caller makes up; no answer may hold it as it stands. */
export const htmlMark = '<img src=x onerror=zz>';

const controls = '\u0000\u0007\u001b[31m\u007f\u009b\u202e\u2066';

export const nastyTexts = [
  '',
  ' ',
  htmlMark,
  `fermenter-1${htmlMark}`,
  controls,
  '__proto__',
  'constructor',
  'prototype',
  'toString',
  'hasOwnProperty',
  '../../etc/passwd',
  "'; DROP TABLE access_key; --",
  '%',
  '\ud800',
  '\ufeff',
  'ﬃ',
  '🍺'.repeat(40),
  'Q'.repeat(5000),
  '1e999',
  'NaN',
  'null',
  '2030-02-30T25:61:61Z',
  'javascript:alert(1)',
  'http://169.254.169.254/latest',
] as const;

const nastyNumbers = [
  0,
  -0,
  -1,
  1.5,
  2 ** 53 + 2,
  -(2 ** 63),
  1e308,
  -1e308,
  5e-324,
  1e21,
  946_684_800,
  8e9,
  8_640_000_000_001,
] as const;

export const nastyValue = (random: Random, depth = 0): unknown => {
  const kind = random.below(depth > 2 ? 4 : 7);
  if (kind === 0) return random.pick(nastyTexts);
  if (kind === 1) return random.pick(nastyNumbers);
  if (kind === 2) return random.pick([null, true, false]);
  if (kind === 3) return random.pick([[], {}]);
  if (kind === 4)
    return Array.from({ length: random.below(4) }, () => nastyValue(random, depth + 1));
  const names = [...nastyTexts, 'title', 'vessel', 'n', 'v'];
  return Object.fromEntries(
    Array.from({ length: random.below(4) }, () => [
      random.pick(names),
      nastyValue(random, depth + 1),
    ]),
  );
};

type Schema = {
  readonly $ref?: string;
  readonly type?: string;
  readonly enum?: readonly unknown[];
  readonly const?: unknown;
  readonly anyOf?: readonly Schema[];
  readonly properties?: Readonly<Record<string, Schema>>;
  readonly required?: readonly string[];
  readonly items?: Schema;
  readonly minimum?: number;
  readonly maximum?: number;
  readonly pattern?: string;
  readonly maxLength?: number;
};

const deref = (schema: Schema): Schema => {
  const name = schema.$ref?.split('/').at(-1);
  return name === undefined
    ? schema
    : (interfaceDocument().components.schemas[name] as unknown as Schema);
};

/** A value that a schema allows, or nearly: refinements stand in no schema. Now and then a leaf is nasty. */
export const allowed = (given: Schema, random: Random, nasty: number): unknown => {
  if (random.chance(nasty)) return nastyValue(random);
  const schema = deref(given);
  if (schema.const !== undefined) return schema.const;
  if (schema.enum !== undefined) return random.pick(schema.enum);
  if (schema.anyOf !== undefined) return allowed(random.pick(schema.anyOf), random, nasty);
  switch (schema.type) {
    case 'object': {
      const entries = Object.entries(schema.properties ?? {}).filter(
        ([name]) => schema.required?.includes(name) || random.chance(0.6),
      );
      const own = entries.map(([name, one]) => [name, allowed(one, random, nasty)] as const);
      return Object.fromEntries(
        random.chance(nasty) ? [...own, [random.pick(nastyTexts), nastyValue(random)]] : own,
      );
    }
    case 'array':
      return Array.from({ length: random.below(4) }, () =>
        allowed(schema.items ?? {}, random, nasty),
      );
    case 'number':
    case 'integer': {
      const low = schema.minimum ?? 0;
      return low + random.share() * ((schema.maximum ?? low + 100) - low);
    }
    case 'boolean':
      return random.chance(0.5);
    case 'null':
      return null;
    default:
      return random.pick(['fermenter-1', 'haymaker-12', 'keg-3', 'Maren', '2030-03-17T17:00:00Z']);
  }
};

const bytes = (random: Random, length: number): Uint8Array<ArrayBuffer> =>
  Uint8Array.from({ length }, () => random.below(256));

/** Text as bytes, in a buffer of its own kind. */
const encoded = (text: string): Uint8Array<ArrayBuffer> =>
  Uint8Array.from(new TextEncoder().encode(text));

/** Bodies that no parser should take, or only with care. */
export const garbage = (random: Random): Uint8Array<ArrayBuffer> => {
  const deep = random.pick([10, 500, 5000, 30_000]);
  const pieces: readonly (() => Uint8Array<ArrayBuffer>)[] = [
    () => bytes(random, random.below(200)),
    () => encoded('['.repeat(deep)),
    () => encoded(`${'['.repeat(deep)}${']'.repeat(deep)}`),
    () => encoded(`${'{"a":'.repeat(deep / 5)}1${'}'.repeat(deep / 5)}`),
    () => encoded(`[{"n":"fermenter-1/temperature","u":"Cel","v":1e999,"t":-1e999}]`),
    () => encoded(`{"__proto__":{"title":"x"},"constructor":{"prototype":{"role":1}}}`),
    () => encoded(`{"title":"\\ud800","title":"${'x'.repeat(200)}"}`),
    () => Uint8Array.from([...encoded('{"title":"'), 0xff, 0xfe, 0xc0, 0xaf, 0x22, 0x7d]),
    () => Uint8Array.from([0xef, 0xbb, 0xbf, ...encoded('{}')]),
    () => encoded(`time,temperature\r\n"${htmlMark}`),
    () => encoded(`time,${htmlMark}\r\n2030-03-17T17:00:00Z,1\r\n`),
    // CBOR: deep arrays, a length without end, an array of 2^64 - 1, a stray break, a tag on nothing.
    () => new Uint8Array(deep).fill(0x81),
    () => Uint8Array.from([0x9f, ...bytes(random, 20)]),
    () => Uint8Array.from([0x9b, ...new Uint8Array(8).fill(0xff), ...bytes(random, 8)]),
    () => Uint8Array.from([0x81, 0xa1, 0x02, 0xf9, 0x7e, 0x00]),
    () => Uint8Array.from([0xff, 0xc0]),
    // gzip: a head with nothing behind it, and one with nonsense.
    () => Uint8Array.from([0x1f, 0x8b, 0x08, 0, 0, 0, 0, 0, 0, 3]),
    () => Uint8Array.from([0x1f, 0x8b, 0x08, 0, 0, 0, 0, 0, 0, 3, ...bytes(random, 40)]),
    () => encoded(' '.repeat(70_000)),
  ];
  return random.pick(pieces)();
};
