/**
 * A SenML pack in CBOR (RFC 8428 section 6) into the same resolved records as from JSON: one definite array, fields
 * labelled by the integers of table 4, numbers as integers, floats or decimal fractions (tag 4), the version an
 * unsigned integer. Pure: no I/O, no clock; `now` is the time of receipt in Unix seconds. Never throws.
 *
 * Where the RFC leaves a choice:
 * - An integer label that is not in table 4 is ignored as any unknown field is (section 4.4), and so is whatever a
 *   field with an unknown text label holds; a label that ends in `_` refuses the pack.
 * - A known field that is labelled by its JSON name is refused, since ignoring it would lose a value in silence.
 * - Bignums and bigfloats are no form of number that section 6 names, and are refused.
 */
import { fail, ok, type Result } from '../result.ts';
import { type CborFault, type CborItem, cborFaultInWords, readCbor } from './cbor-read.ts';
import { recordPlace } from './record-place.ts';
import { parseSenml, type SenmlPack } from './senml.ts';
import { type SenmlFault, senmlFaultInWords } from './senml-fault.ts';
import type { SenmlFields } from './senml-fields.ts';
import { shownValue } from './shown-value.ts';

export const senmlCborMediaType = 'application/senml+cbor';

export type SenmlCborFault =
  | SenmlFault
  | { readonly kind: 'cbor'; readonly fault: CborFault }
  | { readonly kind: 'indefinite-pack' }
  | {
      readonly kind: 'label-as-text';
      readonly record: number;
      readonly field: string;
      readonly label: number;
    };

export const senmlCborFaultInWords = (fault: SenmlCborFault): string => {
  switch (fault.kind) {
    case 'cbor':
      return cborFaultInWords(fault.fault);
    case 'not-an-array':
      return `the body is ${fault.found}; send a SenML pack, a CBOR array of records`;
    case 'indefinite-pack':
      return 'the pack is an array of indefinite length; send one of definite length, as RFC 8428 section 6 asks of a pack';
    case 'label-as-text':
      return `${recordPlace(fault.record, fault.field)} is labelled by its name; label it with the integer ${fault.label} (RFC 8428 table 4)`;
    default:
      return senmlFaultInWords(fault);
  }
};

type Label = keyof SenmlFields;

/** RFC 8428 table 4, which is conclusive. */
const labels: ReadonlyMap<number, Label> = new Map([
  [-1, 'bver'],
  [-2, 'bn'],
  [-3, 'bt'],
  [-4, 'bu'],
  [-5, 'bv'],
  [-6, 'bs'],
  [0, 'n'],
  [1, 'u'],
  [2, 'v'],
  [3, 'vs'],
  [4, 'vb'],
  [5, 's'],
  [6, 't'],
  [7, 'ut'],
  [8, 'vd'],
]);

const integers: ReadonlyMap<string, number> = new Map(
  [...labels].map(([key, label]) => [label, key]),
);

const expected = {
  text: 'a text',
  number: 'an integer, a float or a decimal fraction',
  version: 'an unsigned integer',
  truth: 'true or false',
  data: 'a byte string',
} as const;

const typeOf: Readonly<Record<Label, keyof typeof expected>> = {
  bver: 'version',
  bn: 'text',
  bt: 'number',
  bu: 'text',
  bv: 'number',
  bs: 'number',
  n: 'text',
  u: 'text',
  v: 'number',
  vs: 'text',
  vb: 'truth',
  s: 'number',
  t: 'number',
  ut: 'number',
  vd: 'data',
};

const inWords = (item: CborItem): string => {
  switch (item.kind) {
    case 'integer':
    case 'float':
      return String(item.number);
    case 'text':
      return shownValue(item.text);
    case 'bytes':
      return 'a byte string';
    case 'array':
      return 'an array';
    case 'map':
      return 'a map';
    case 'tag':
      return `an item with the tag ${item.tag}`;
    case 'simple':
      return (
        ['false', 'true', 'null', 'undefined'][item.simple - 20] ??
        `the simple value ${item.simple}`
      );
  }
};

/** RFC 8949 section 3.4.4: mantissa times ten to the exponent, read as a decimal so that it is rounded once. */
const decimalFraction = (item: CborItem): number | null => {
  if (item.kind !== 'array' || item.items.length !== 2) return null;
  const [exponent, mantissa] = item.items;
  if (exponent?.kind !== 'integer' || mantissa?.kind !== 'integer') return null;
  return Number(`${mantissa.number}e${exponent.number}`);
};

const numberOf = (item: CborItem): number | null => {
  if (item.kind === 'integer' || item.kind === 'float') return item.number;
  return item.kind === 'tag' && item.tag === 4 ? decimalFraction(item.item) : null;
};

const base64url = (bytes: Uint8Array): string =>
  btoa(Array.from(bytes, (byte) => String.fromCharCode(byte)).join(''))
    .replaceAll('+', '-')
    .replaceAll('/', '_')
    .replaceAll('=', '');

/** The value as JSON would hold it; null where the item is of another type. */
const asJson = (item: CborItem, type: keyof typeof expected): string | number | boolean | null => {
  switch (type) {
    case 'text':
      return item.kind === 'text' ? item.text : null;
    case 'data':
      return item.kind === 'bytes' ? base64url(item.bytes) : null;
    case 'truth':
      return item.kind === 'simple' && (item.simple === 20 || item.simple === 21)
        ? item.simple === 21
        : null;
    case 'version':
      return item.kind === 'integer' && item.number >= 0 ? item.number : null;
    case 'number':
      return numberOf(item);
  }
};

type JsonRecord = Readonly<Record<string, string | number | boolean | null>>;

const recordOf = (item: CborItem, record: number): Result<JsonRecord, SenmlCborFault> => {
  if (item.kind !== 'map') return fail({ kind: 'not-an-object', record, found: inWords(item) });
  const fields: [string, string | number | boolean | null][] = [];
  for (const [key, value] of item.entries) {
    if (typeof key === 'string') {
      const label = integers.get(key);
      if (label !== undefined) return fail({ kind: 'label-as-text', record, field: key, label });
      // What an unknown field holds is of no matter; whether it must be understood is.
      fields.push([key, null]);
      continue;
    }
    const label = labels.get(key);
    if (label === undefined) continue;
    const type = typeOf[label];
    const json = asJson(value, type);
    if (json === null) {
      const found = inWords(value);
      return fail({ kind: 'wrong-type', record, field: label, expected: expected[type], found });
    }
    fields.push([label, json]);
  }
  return ok(Object.fromEntries(fields));
};

export const parseSenmlCbor = (
  bytes: Uint8Array,
  now: number,
): Result<SenmlPack, SenmlCborFault> => {
  const read = readCbor(bytes);
  if (!read.ok) return fail({ kind: 'cbor', fault: read.fault });
  if (read.value.kind !== 'array')
    return fail({ kind: 'not-an-array', found: inWords(read.value) });
  if (!read.value.definite) return fail({ kind: 'indefinite-pack' });
  const records: JsonRecord[] = [];
  for (const [record, item] of read.value.items.entries()) {
    const own = recordOf(item, record);
    if (!own.ok) return own;
    records.push(own.value);
  }
  return parseSenml(records, now);
};
