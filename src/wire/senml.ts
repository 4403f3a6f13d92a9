/**
 * Parses a SenML pack (RFC 8428 section 4, with the versions of RFC 9100) into resolved records:
 * base fields applied, times absolute in Unix seconds, in chronological order (section 4.6).
 * A pack is taken whole or refused with the first fault in the order of its records.
 * Pure: no I/O, no clock; `now` is the time of receipt in Unix seconds. Never throws on any JSON,
 * and no number that leaves is NaN or infinite.
 *
 * Where the RFC leaves a choice:
 * - A record that carries base fields only, as the first in the third example of section 5.1.7, sets
 *   them and yields no measurement.
 * - "Sum field" in section 4.2 is read as `s` in the record itself: a base sum or base value alone
 *   does not stand in for a missing value.
 * - A time relative to now is fixed by `now`, so a pack with such times that is sent again yields
 *   other times; only absolute times can be sent again without a second reading.
 */
import { fail, ok, type Result } from '../result.ts';
import type { SenmlFault } from './senml-fault.ts';
import { readSenmlFields, type SenmlFields } from './senml-fields.ts';
import { shownValue } from './shown-value.ts';

type SenmlValue =
  | { readonly kind: 'number'; readonly number: number }
  | { readonly kind: 'text'; readonly text: string }
  | { readonly kind: 'truth'; readonly truth: boolean }
  /** Base64 in the URL-safe alphabet without padding, as sent. */
  | { readonly kind: 'data'; readonly base64url: string };

export type SenmlRecord = {
  /** Index of the record in the pack as sent, counted from 0. */
  readonly record: number;
  readonly name: string;
  readonly unit: string | null;
  /** Null where the record has a sum only. */
  readonly value: SenmlValue | null;
  readonly sum: number | null;
  /** Unix seconds. */
  readonly timeSeconds: number;
  readonly updateTimeSeconds: number | null;
};

export type SenmlPack = { readonly version: number; readonly records: readonly SenmlRecord[] };

/** RFC 8428 section 4.1: the version of a pack that names none. */
export const defaultSenmlVersion = 10;

/** RFC 9100 section 4: version 10 with feature 4 (secondary units of RFC 8798), 10 + 2**4. */
export const secondaryUnitsVersion = 26;

/** RFC 8428 section 4.5.3: a time from here on is absolute, below it is relative to now. */
export const firstAbsoluteTime = 2 ** 28;

/** RFC 8428 section 4.5.1. */
const namePattern = /^[A-Za-z0-9][A-Za-z0-9\-:./_]*$/;

/**
 * Versions up to 10 are a plain count (RFC 8428 section 4.4: refuse a larger one). From 10 on they
 * are a sum of features (RFC 9100 section 2), of which 10 and 26 hold only what is understood here.
 */
const isUnderstood = (version: number): boolean =>
  version <= defaultSenmlVersion || version === secondaryUnitsVersion;

const baseLabels = ['bn', 'bt', 'bu', 'bv', 'bs', 'bver'] as const;
const valueLabels = ['v', 'vs', 'vb', 'vd'] as const;
const regularLabels = ['n', 'u', ...valueLabels, 's', 't', 'ut'] as const;

type Base = Pick<SenmlFields, (typeof baseLabels)[number]>;

/** Section 4: base fields hold for their record and those after, until the same field comes again. */
const carry = (base: Base, fields: SenmlFields): Base => {
  const carried: Partial<Record<keyof Base, unknown>> = { ...base };
  for (const label of baseLabels) {
    if (fields[label] !== undefined) carried[label] = fields[label];
  }
  return carried as Base;
};

const setsBaseOnly = (fields: SenmlFields): boolean =>
  baseLabels.some((label) => fields[label] !== undefined) &&
  regularLabels.every((label) => fields[label] === undefined);

const resolvedValue = (fields: SenmlFields, base: Base): SenmlValue | null => {
  if (fields.v !== undefined) return { kind: 'number', number: (base.bv ?? 0) + fields.v };
  if (fields.vs !== undefined) return { kind: 'text', text: fields.vs };
  if (fields.vb !== undefined) return { kind: 'truth', truth: fields.vb };
  if (fields.vd !== undefined) return { kind: 'data', base64url: fields.vd };
  return null;
};

const resolve = (
  fields: SenmlFields,
  base: Base,
  record: number,
  now: number,
): Result<SenmlRecord, SenmlFault> => {
  const present = valueLabels.filter((label) => fields[label] !== undefined);
  if (present.length > 1) return fail({ kind: 'several-values', record, fields: present });
  if (present.length === 0 && fields.s === undefined)
    return fail({ kind: 'value-missing', record });

  const name = (base.bn ?? '') + (fields.n ?? '');
  if (name === '') return fail({ kind: 'name-missing', record, field: 'n' });
  if (!namePattern.test(name)) {
    return fail({ kind: 'name-malformed', record, field: 'n', found: shownValue(name) });
  }

  const value = resolvedValue(fields, base);
  const hasSum = fields.s !== undefined || base.bs !== undefined;
  const sum = hasSum ? (base.bs ?? 0) + (fields.s ?? 0) : null;
  const sent = (base.bt ?? 0) + (fields.t ?? 0);
  const timeSeconds = sent < firstAbsoluteTime ? now + sent : sent;
  const notFinite = (field: string, found: number): Result<SenmlRecord, SenmlFault> =>
    fail({ kind: 'not-finite', record, field, found: String(found) });
  if (value?.kind === 'number' && !Number.isFinite(value.number)) {
    return notFinite('v', value.number);
  }
  if (sum !== null && !Number.isFinite(sum)) return notFinite('s', sum);
  if (!Number.isFinite(timeSeconds)) return notFinite('t', timeSeconds);

  const unit = fields.u ?? base.bu ?? null;
  const updateTimeSeconds = fields.ut ?? null;
  return ok({ record, name, unit, value, sum, timeSeconds, updateTimeSeconds });
};

export type SenmlResolver = {
  /** The next record as JSON holds it; null where it only sets base fields. `now` is when it was received. */
  readonly take: (candidate: unknown, now: number) => Result<SenmlRecord | null, SenmlFault>;
  readonly version: () => number;
};

/** Resolves records one after the other, in the order in which they are sent; base fields carry over. */
export const senmlResolver = (): SenmlResolver => {
  let base: Base = {};
  let packVersion: number | undefined;
  let record = -1;
  return {
    version: () => packVersion ?? defaultSenmlVersion,
    take: (candidate, now) => {
      record += 1;
      const fields = readSenmlFields(candidate, record);
      if (!fields.ok) return fields;
      base = carry(base, fields.value);

      const version = base.bver ?? defaultSenmlVersion;
      if (!isUnderstood(version)) {
        const understood = [defaultSenmlVersion, secondaryUnitsVersion];
        const kind = 'version-not-understood';
        return fail({ kind, record, field: 'bver', found: version, understood });
      }
      packVersion ??= version;
      if (version !== packVersion) {
        const kind = 'version-changed';
        return fail({ kind, record, field: 'bver', found: version, earlier: packVersion });
      }
      return setsBaseOnly(fields.value) ? ok(null) : resolve(fields.value, base, record, now);
    },
  };
};

/** @param pack what JSON.parse made of the body */
export const parseSenml = (pack: unknown, now: number): Result<SenmlPack, SenmlFault> => {
  if (!Array.isArray(pack)) return fail({ kind: 'not-an-array', found: shownValue(pack) });
  if (pack.length === 0) return fail({ kind: 'empty-pack' });

  const records: SenmlRecord[] = [];
  const resolver = senmlResolver();
  for (const candidate of pack) {
    const resolved = resolver.take(candidate, now);
    if (!resolved.ok) return resolved;
    if (resolved.value !== null) records.push(resolved.value);
  }
  // Sorting is stable: records of one time keep the order in which they were sent.
  records.sort((earlier, later) => earlier.timeSeconds - later.timeSeconds);
  return ok({ version: resolver.version(), records });
};

export const parseSenmlJson = (text: string, now: number): Result<SenmlPack, SenmlFault> => {
  let pack: unknown;
  try {
    pack = JSON.parse(text);
  } catch {
    return fail({ kind: 'not-json', found: shownValue(text) });
  }
  return parseSenml(pack, now);
};
