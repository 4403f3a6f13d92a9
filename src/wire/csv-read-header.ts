/**
 * What the columns of a CSV file are, from its first record. A heading is the name of a quantity with its unit in
 * brackets, `gravity (°P)`; a unit is never supposed, but for pH, which has none. Time is headed `time`, with the
 * zone of times that carry none where that is not UTC: `time (+01:00)`. A column that is no quantity of ours is a
 * fault unless the caller leaves it out by its heading. All faults of a header come together.
 * Pure: no I/O, no clock.
 */
import { fail, ok, type Result } from '../result.ts';
import { type Channel, isChannel } from '../science/units/channel.ts';
import type { CsvRecord } from './csv-read-records.ts';
import { zoneOffset } from './csv-read-time.ts';
import { type CsvUnit, csvUnit, csvUnitsOf } from './csv-read-units.ts';

export type CsvColumn = {
  /** Counted from 1. */
  readonly column: number;
  /** As it stands in the file. */
  readonly heading: string;
} & (
  | { readonly kind: 'time'; readonly zoneOffsetSeconds: number | null }
  | { readonly kind: 'channel'; readonly channel: Channel; readonly unit: CsvUnit }
  | { readonly kind: 'left-out' }
  /** Has no heading, as behind a separator that ends each line; must stay empty. */
  | { readonly kind: 'unnamed' }
);

type At = { readonly line: number; readonly column: number; readonly heading: string };

export type CsvHeaderFault =
  | { readonly kind: 'no-header' }
  /** The first line holds values. */
  | ({ readonly kind: 'header-of-values' } & At)
  | { readonly kind: 'no-time-column'; readonly line: number }
  | { readonly kind: 'no-channel-column'; readonly line: number }
  | ({ readonly kind: 'time-column-twice'; readonly firstColumn: number } & At)
  | ({ readonly kind: 'column-unknown' } & At)
  | ({ readonly kind: 'bare-pressure-column' } & At)
  | ({ readonly kind: 'zone-unknown'; readonly found: string } & At)
  | ({
      readonly kind: 'column-unit-missing' | 'column-unit-unknown';
      readonly found: string;
      readonly accepted: readonly string[];
    } & At)
  | ({ readonly kind: 'refractometer-column' } & At)
  | ({
      readonly kind: 'pressure-kind-contradicts';
      readonly found: string;
      readonly unitSays: 'gauge' | 'absolute';
    } & At)
  | { readonly kind: 'nothing-to-leave-out'; readonly heading: string };

/** Names beside the channels' own, in which hyphens may be blanks. */
const otherNames: Readonly<Record<string, Channel>> = {
  'head pressure': 'gauge-pressure',
  'specific gravity': 'gravity',
  extract: 'gravity',
};

/** The names that a column may have, for a person who has to rename one. */
export const csvColumnNames =
  'time, temperature, gravity, density, head pressure, absolute pressure, gas flow, pH, carbon dioxide, oxygen, humidity, mass';

export const csvColumns = (
  { line, fields }: CsvRecord,
  leaveOut: readonly string[],
): Result<readonly CsvColumn[], readonly CsvHeaderFault[]> => {
  const faults: CsvHeaderFault[] = [];
  const columns: CsvColumn[] = [];
  const unwanted = new Set(leaveOut.map(tidied));
  const unused = new Set(unwanted);
  for (const [index, field] of fields.entries()) {
    const heading = tidied(field);
    const at = { line, column: index + 1, heading };
    if (unwanted.has(heading)) {
      unused.delete(heading);
      columns.push({ kind: 'left-out', column: at.column, heading });
      continue;
    }
    const column = columnOf(at);
    if (column.ok) columns.push(column.value);
    else if (column.fault.kind === 'header-of-values') return fail([column.fault]);
    else faults.push(column.fault);
  }
  const times = columns.filter(({ kind }) => kind === 'time');
  for (const { column, heading } of times.slice(1)) {
    const firstColumn = times[0]?.column ?? 1;
    faults.push({ kind: 'time-column-twice', firstColumn, line, column, heading });
  }
  if (faults.length === 0) {
    if (times.length === 0) faults.push({ kind: 'no-time-column', line });
    else if (!columns.some(({ kind }) => kind === 'channel')) {
      faults.push({ kind: 'no-channel-column', line });
    }
    for (const heading of unused) faults.push({ kind: 'nothing-to-leave-out', heading });
  }
  return faults.length === 0 ? ok(columns) : fail(faults);
};

/** Blanks run together, and the signs that are typed for a degree sign are one. */
const tidied = (heading: string): string =>
  heading.trim().replaceAll(/\s+/g, ' ').replaceAll(/[º˚]/g, '°');

const columnOf = (at: At): Result<CsvColumn, CsvHeaderFault> => {
  const { column, heading } = at;
  if (heading === '') return ok({ kind: 'unnamed', column, heading });
  const [, typed = heading, unit = ''] = /^(.*?)\s*[([](.*)[)\]]$/.exec(heading) ?? [];
  const name = typed.toLowerCase().replaceAll(/[-_ ]+/g, ' ');
  if (name === 'time') return timeColumn(at, unit.trim());
  if (name === 'pressure') return fail({ kind: 'bare-pressure-column', ...at });
  const asChannel = name.replaceAll(' ', '-');
  const channel = isChannel(asChannel) ? asChannel : otherNames[name];
  if (channel === undefined) {
    // A number, or a date, where a name should be: the header line is missing.
    const isValue = /^[+-]?\d/.test(heading);
    return fail({ kind: isValue ? 'header-of-values' : 'column-unknown', ...at });
  }
  const written = unit.trim() === '' && channel === 'ph' ? 'pH' : unit.trim();
  const accepted = csvUnitsOf(channel);
  if (written === '') return fail({ kind: 'column-unit-missing', found: '', accepted, ...at });
  const known = csvUnit(channel, written);
  if (known.ok) return ok({ kind: 'channel', column, heading, channel, unit: known.value });
  switch (known.fault.kind) {
    case 'unit-unknown':
      return fail({ kind: 'column-unit-unknown', found: written, accepted, ...at });
    case 'refractometer':
      return fail({ kind: 'refractometer-column', ...at });
    case 'pressure-kind': {
      const { unitSays } = known.fault;
      return fail({ kind: 'pressure-kind-contradicts', found: written, unitSays, ...at });
    }
  }
};

const timeColumn = (at: At, zone: string): Result<CsvColumn, CsvHeaderFault> => {
  const { column, heading } = at;
  if (zone === '') return ok({ kind: 'time', column, heading, zoneOffsetSeconds: null });
  if (/^(?:UTC|GMT|Z)$/i.test(zone)) {
    return ok({ kind: 'time', column, heading, zoneOffsetSeconds: 0 });
  }
  const zoneOffsetSeconds = zoneOffset(zone.replace(/^(?:UTC|GMT) ?/i, ''));
  return zoneOffsetSeconds === null
    ? fail({ kind: 'zone-unknown', found: zone, ...at })
    : ok({ kind: 'time', column, heading, zoneOffsetSeconds });
};
