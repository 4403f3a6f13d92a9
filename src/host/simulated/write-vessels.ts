/**
 * Writes simulated vessels in the format of fixtures/bench, with labels, for backtest and score. The same count and
 * seed write the same files.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { type VesselEvent, vesselCase, vesselEvents } from './closed-vessel-case.ts';
import { dice } from './dice.ts';

/**
 * The share of each event: the bench's larger set has 13 refermentations and 26 crossings among 90 vessels, so what
 * crosses comes twice.
 */
const mix: readonly VesselEvent[] = [...vesselEvents, 'warmup', 'referment'];

export const writeVessels = (folder: string, count: number, seed: number): void => {
  mkdirSync(folder, { recursive: true });
  const heads = [
    'vessel,kind,volume_l,headspace_fraction,co2_volumes_start,rated_kpa,relief_set_kpa,gas_connected,t_start,t_end',
  ];
  const lines = ['vessel,t,kpa,temp_c'];
  const labels: string[] = [];
  for (let index = 0; index < count; index += 1) {
    const roll = dice(seed * 7_000_003 + index * 104_729);
    const event = mix[index % mix.length] ?? 'hold';
    const start = 1_760_000_000 + Math.floor(roll.uniform(0, 2e7));
    const run = vesselCase(roll, event, start);
    const name = `V${seed}-${String(index).padStart(4, '0')}`;
    const at = (hour: number | null): number | null =>
      hour === null ? null : Math.round(start + hour * 3600);
    heads.push(
      [
        name,
        run.kind,
        run.volumeLitre,
        run.headspaceShare.toFixed(3),
        run.volumesAtStart?.toFixed(2) ?? '',
        run.ratedKilopascal.toFixed(0),
        run.reliefKilopascal?.toFixed(0) ?? '',
        run.gasConnected ? 1 : 0,
        start,
        at(run.hours),
      ].join(','),
    );
    for (const row of run.rows)
      lines.push([name, row.time, row.kilopascal.toFixed(1), row.temperature.toFixed(2)].join(','));
    labels.push(
      JSON.stringify({
        batch: name,
        event,
        quiet: run.quiet,
        onset: at(run.onset),
        crossing_at: at(run.crossing),
        rated_kpa: run.ratedKilopascal,
        sampling_min: run.samplingMinutes,
        t_start: start,
        t_end: at(run.hours),
      }),
    );
  }
  writeFileSync(join(folder, 'kegs.csv'), `${heads.join('\n')}\n`);
  writeFileSync(join(folder, 'keg_readings.csv.gz'), gzipSync(`${lines.join('\n')}\n`));
  writeFileSync(join(folder, 'keg_labels.jsonl'), `${labels.join('\n')}\n`);
};
