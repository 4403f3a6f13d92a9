/**
 * Reads a folder of recorded batches and vessels, in the format of fixtures/bench/README.md, into what the
 * watch takes: a watched vessel and its rows in order of arrival. A blank field has no value.
 */
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { gunzipSync } from 'node:zlib';
import type { Drink } from '../../monitoring/batch.ts';
import type { VesselKind } from '../../monitoring/vessel.ts';
import type { Point, Watched } from '../../monitoring/watched.ts';
import type { BacktestRecord } from './record.ts';

type Row = Readonly<Record<string, string>>;

export const readRecords = (folder: string): readonly BacktestRecord[] => [
  ...together(folder, 'batches.csv', 'batch', 'readings.csv', fermentation),
  ...together(folder, 'kegs.csv', 'vessel', 'keg_readings.csv', closedVessel),
];

const together = (
  folder: string,
  heads: string,
  key: string,
  readings: string,
  make: (head: Row) => Watched,
): readonly BacktestRecord[] => {
  const rows = new Map<string, Point[][]>();
  const known = new Set<string>();
  for (const row of table(folder, readings)) {
    const name = row[key] ?? '';
    // A reading that is sent again changes nothing: the door of the cellar knows it already, and so does this one.
    const line = Object.values(row).join();
    if (known.has(line)) continue;
    known.add(line);
    const points = pointsOf(row);
    const held = rows.get(name);
    if (held === undefined) rows.set(name, [points]);
    else held.push(points);
  }
  return table(folder, heads).map((head) => ({
    name: head[key] ?? '',
    watched: make(head),
    begins: needed(head, 't_start'),
    ends: needed(head, 't_end'),
    rows: rows.get(head[key] ?? '') ?? [],
  }));
};

/** A column, the channel it feeds and the factor to the channel's stored unit. */
const columns = [
  ['sg', 'gravity', 1],
  ['temp_c', 'temperature', 1],
  ['head_kpa', 'gauge-pressure', 1000],
  ['kpa', 'gauge-pressure', 1000],
  // Litres per hour, from one hectolitre of liquid; the vessel made here holds just that.
  ['co2_lph_per_hl', 'gas-flow', 1 / 3_600_000],
] as const;

const pointsOf = (row: Row): Point[] => {
  const time = needed(row, 't');
  return columns.flatMap(([column, channel, factor]) => {
    const value = number(row[column]);
    return value === null ? [] : [{ channel, time, value: value * factor }];
  });
};

/** The file says nothing of the vessel: one hectolitre of liquid in a vented fermenter without a rating. */
const fermentation = (head: Row): Watched => ({
  vessel: {
    vessel: 'fermenter',
    title: head.batch ?? '',
    kind: 'fermenter',
    volumeLitre: 125,
    headspaceLitre: 25,
    ratedGaugePressurePascal: null,
    reliefGaugePressurePascal: null,
    gasConnected: false,
    temperatureBand: null,
  },
  batch: {
    batch: (head.batch ?? '').toLowerCase(),
    title: head.batch ?? '',
    drink: drinkNames[head.kind ?? ''] ?? 'ale',
    stage: 'fermentation',
    startedAt: needed(head, 't_start'),
    endedAt: null,
    originalGravity: number(head.og),
    expectedTerminalGravity: number(head.expected_fg),
    attenuationLimit: null,
    temperatureBand: null,
    carbonationVolumes: null,
  },
});

const drinkNames: Readonly<Record<string, Drink>> = { ale: 'ale', lager: 'lager', wine: 'wine' };

const closedVessel = (head: Row): Watched => {
  const volumeLitre = needed(head, 'volume_l');
  const kind = vesselNames[head.kind ?? ''] ?? 'keg';
  const pascal = (field: string): number | null => {
    const value = number(head[field]);
    return value === null ? null : value * 1000;
  };
  return {
    vessel: {
      vessel: 'vessel',
      title: head.vessel ?? '',
      kind,
      volumeLitre,
      headspaceLitre: volumeLitre * needed(head, 'headspace_fraction'),
      ratedGaugePressurePascal: pascal('rated_kpa'),
      reliefGaugePressurePascal: pascal('relief_set_kpa'),
      gasConnected: head.gas_connected === '1',
      temperatureBand: null,
    },
    batch: {
      batch: (head.vessel ?? '').toLowerCase(),
      title: head.vessel ?? '',
      drink: 'ale',
      stage: kind === 'fermenter' ? 'fermentation' : kind === 'keg' ? 'keg' : 'conditioning',
      startedAt: needed(head, 't_start'),
      endedAt: null,
      originalGravity: null,
      expectedTerminalGravity: null,
      attenuationLimit: null,
      temperatureBand: null,
      carbonationVolumes: number(head.co2_volumes_start),
    },
  };
};

const vesselNames: Readonly<Record<string, VesselKind>> = {
  keg: 'keg',
  tank: 'bright-tank',
  fermenter: 'fermenter',
};

const number = (field: string | undefined): number | null => {
  if (field === undefined || field.trim() === '') return null;
  const value = Number(field);
  return Number.isFinite(value) ? value : null;
};

const needed = (row: Row, field: string): number => {
  const value = number(row[field]);
  if (value === null) {
    throw new Error(`${field} is "${row[field] ?? ''}", not a number; every row needs one`);
  }
  return value;
};

/** The rows of NAME or NAME.gz; none if neither is there, since a folder may hold only one kind. */
const table = (folder: string, name: string): readonly Row[] => {
  const plain = join(folder, name);
  const packed = `${plain}.gz`;
  const text = existsSync(packed)
    ? gunzipSync(readFileSync(packed)).toString('utf8')
    : existsSync(plain)
      ? readFileSync(plain, 'utf8')
      : '';
  const [head, ...lines] = text.split(/\r?\n/).filter((line) => line !== '');
  const names = head?.split(',') ?? [];
  return lines.map((line) => {
    const fields = line.split(',');
    return Object.fromEntries(names.map((field, index) => [field, fields[index] ?? '']));
  });
};
