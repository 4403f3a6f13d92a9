/**
 * The fields of one SenML record, each of the type that RFC 8428 table 1 gives it (section 4.3).
 * A label that is not in the table is ignored, unless it ends in `_`: then it must be understood,
 * and the record is refused (section 4.4). Of a label that occurs twice JSON.parse has kept the last.
 * Pure: no I/O, no clock.
 */
import { fail, ok, type Result } from '../result.ts';
import type { SenmlFault } from './senml-fault.ts';
import { shownValue } from './shown-value.ts';

export type SenmlFields = {
  readonly bn?: string;
  readonly bt?: number;
  readonly bu?: string;
  readonly bv?: number;
  readonly bs?: number;
  readonly bver?: number;
  readonly n?: string;
  readonly u?: string;
  readonly v?: number;
  readonly vs?: string;
  readonly vb?: boolean;
  readonly vd?: string;
  readonly s?: number;
  readonly t?: number;
  readonly ut?: number;
};

type Rule = { readonly holds: (value: unknown) => boolean; readonly expected: string };

const text: Rule = { holds: (value) => typeof value === 'string', expected: 'a string' };
const number: Rule = { holds: (value) => typeof value === 'number', expected: 'a number' };
const truth: Rule = { holds: (value) => typeof value === 'boolean', expected: 'true or false' };
/** Section 4.1: a positive integer. */
const version: Rule = {
  holds: (value) => Number.isSafeInteger(value) && Number(value) > 0,
  expected: 'a whole number above 0',
};
/** Table 1, note (*): base64 with the URL-safe alphabet, padding left out. */
const data: Rule = {
  holds: (value) => typeof value === 'string' && /^[\w-]*$/.test(value) && value.length % 4 !== 1,
  expected: 'base64 in the URL-safe alphabet without padding',
};

const rules = {
  bn: text,
  bt: number,
  bu: text,
  bv: number,
  bs: number,
  bver: version,
  n: text,
  u: text,
  v: number,
  vs: text,
  vb: truth,
  vd: data,
  s: number,
  t: number,
  ut: number,
} as const satisfies Record<keyof SenmlFields, Rule>;

const isLabel = (label: string): label is keyof SenmlFields => Object.hasOwn(rules, label);

export const readSenmlFields = (
  candidate: unknown,
  record: number,
): Result<SenmlFields, SenmlFault> => {
  if (typeof candidate !== 'object' || candidate === null || Array.isArray(candidate)) {
    return fail({ kind: 'not-an-object', record, found: shownValue(candidate) });
  }
  const fields: Partial<Record<keyof SenmlFields, unknown>> = {};
  for (const [label, value] of Object.entries(candidate)) {
    if (!isLabel(label)) {
      if (label.endsWith('_')) {
        return fail({ kind: 'must-understand', record, found: shownValue(label) });
      }
      continue;
    }
    const rule = rules[label];
    if (!rule.holds(value)) {
      const { expected } = rule;
      return fail({ kind: 'wrong-type', record, field: label, expected, found: shownValue(value) });
    }
    if (typeof value === 'number' && !Number.isFinite(value)) {
      return fail({ kind: 'not-finite', record, field: label, found: String(value) });
    }
    fields[label] = value;
  }
  // Each field has passed its rule above, which is what the type says.
  return ok(fields as SenmlFields);
};
