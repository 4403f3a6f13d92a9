/**
 * Writes the sample histories of fixtures/own-batch out of the invented cellar: a stalled wheat beer and a keg that
 * grew warm, as a cellar without Gyleward would have logged them, since nobody does anything about either.
 *   node src/host/backtest/sample-history.ts FOLDER
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { convert, convertGravity } from '../../science/units/convert.ts';
import { csvRow } from '../../wire/csv-write.ts';
import { type SimulatedReading, simulatedCellar } from '../scenario/simulated-cellar.ts';
import type { VesselName } from '../scenario/skerrow-yard.ts';

/** Any whole number would do; this one is the seed of the demo's own cellar. */
const seed = 41;
const days = 14;

/** 2026-11-02 07:00 at UTC+00:00, the Isle of Hallin's winter time. */
const startSeconds = Date.UTC(2026, 10, 2, 7) / 1000;

type Line = ReadonlyMap<string, number>;

/** Readings of one vessel by time, each line with all that was read at that time. */
const linesOf = (vessel: VesselName): readonly (readonly [number, Line])[] => {
  const cellar = simulatedCellar(seed);
  const lines = new Map<number, Map<string, number>>();
  for (let ends = 0; ends < days * 86_400; ) {
    const step = cellar.step();
    ends = step.endsAfterSeconds;
    for (const reading of step.readings) {
      if (reading.vessel === vessel) place(lines, reading);
    }
  }
  return [...lines].map(([after, line]) => [startSeconds + after, line] as const);
};

const place = (lines: Map<number, Map<string, number>>, reading: SimulatedReading): void => {
  const line = lines.get(reading.afterSeconds) ?? new Map<string, number>();
  line.set(reading.channel, reading.value);
  lines.set(reading.afterSeconds, line);
};

const platoOf = (gravity: number | undefined): string => {
  const plato = gravity === undefined ? null : convertGravity(gravity, 'SG', '°P');
  return plato?.ok ? plato.value.toFixed(2) : '';
};

/** With a zone, commas and °P, as a floating sensor's own export may be. */
const wheat = (): string => {
  const rows: (string | number)[][] = [['time', 'temperature (°C)', 'gravity (°P)']];
  for (const [time, line] of linesOf('fermenter-2')) {
    const iso = `${new Date(time * 1000).toISOString().slice(0, 16)}Z`;
    rows.push([iso, line.get('temperature')?.toFixed(2) ?? '', platoOf(line.get('gravity'))]);
  }
  return rows
    .map((cells) => {
      const row = csvRow(cells);
      if (!row.ok) throw new Error('a cell of the sample is not finite');
      return row.value;
    })
    .join('');
};

/** Without a zone, with semicolons, decimal commas, psi and °F, and a column that is no reading. */
const keg = (): string => {
  const lines = ['time;head pressure (psi);temperature (°F);place'];
  for (const [time, line] of linesOf('keg-7')) {
    const local = new Date(time * 1000).toISOString().slice(0, 16).replace('T', ' ');
    const pascal = line.get('gauge-pressure');
    const celsius = line.get('temperature');
    const psi = pascal === undefined ? null : convert('pressure', pascal, 'Pa', 'psi');
    const fahrenheit = celsius === undefined ? null : convert('temperature', celsius, '°C', '°F');
    const comma = (value: number): string => value.toFixed(1).replace('.', ',');
    lines.push(
      [
        local,
        psi?.ok ? comma(psi.value) : '',
        fahrenheit?.ok ? comma(fahrenheit.value) : '',
        'cold store',
      ].join(';'),
    );
  }
  return `${lines.join('\n')}\n`;
};

/** File name and text of each sample. */
export const sampleHistories = (): Readonly<Record<string, string>> => ({
  'lantern-wheat-18.csv': wheat(),
  'keg-7.csv': keg(),
});

if (import.meta.main) {
  const folder = process.argv[2];
  if (folder === undefined) {
    console.error('the folder is missing; name one, such as fixtures/own-batch');
    process.exitCode = 1;
  } else {
    mkdirSync(folder, { recursive: true });
    for (const [name, text] of Object.entries(sampleHistories())) {
      writeFileSync(join(folder, name), text);
    }
  }
}
