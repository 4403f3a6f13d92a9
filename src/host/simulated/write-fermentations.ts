/**
 * Writes simulated fermentations in the format of fixtures/bench, with labels, for backtest and score. The same count
 * and seed write the same files.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { record } from './device.ts';
import { dice } from './dice.ts';
import { type FermentationClass, fermentationCase } from './fermentation-case.ts';

/** Shares of the classes: five of twelve are normal. */
const classes: readonly FermentationClass[] = [
  'normal',
  'normal',
  'normal',
  'normal',
  'normal',
  'stalled',
  'stalled',
  'stalled',
  'restarted',
  'sluggish',
  'stuck_sensor',
  'sensor_silence',
];

export const writeFermentations = (folder: string, count: number, seed: number): void => {
  mkdirSync(folder, { recursive: true });
  const heads = ['batch,kind,og,expected_fg,start_temp_c,t_start,t_end'];
  const lines = ['batch,t,sg,temp_c,head_kpa,co2_lph_per_hl'];
  const labels: string[] = [];
  for (let index = 0; index < count; index += 1) {
    const roll = dice(seed * 1_000_003 + index * 7919);
    const run = fermentationCase(roll, classes[index % classes.length] ?? 'normal');
    const start = 1_760_000_000 + Math.floor(roll.uniform(0, 2e7));
    const sensed = record(roll, run, start);
    const name = `F${seed}-${String(index).padStart(4, '0')}`;
    const at = (hour: number | null): number | null =>
      hour === null ? null : Math.round(start + hour * 3600);
    const gravity = (points: number): number => Number((1 + points / 1000).toFixed(5));
    const expected = roll.chance(0.25)
      ? ''
      : gravity(run.limitPoints + roll.normal(0, 3.4)).toFixed(4);
    heads.push(
      [
        name,
        run.kind,
        gravity(run.originalPoints + roll.normal(0, 0.8)).toFixed(4),
        expected,
        run.startTemperature.toFixed(1),
        start,
        at(run.hours),
      ].join(','),
    );
    for (const row of sensed.rows) {
      lines.push(
        [
          name,
          row.time,
          row.gravity.toFixed(4),
          row.temperature.toFixed(2),
          row.headKilopascal?.toFixed(2) ?? '',
          row.flow?.toFixed(2) ?? '',
        ].join(','),
      );
    }
    labels.push(
      JSON.stringify({
        batch: name,
        class: run.class,
        subtype: run.subtype,
        kind: run.kind,
        og_true: gravity(run.originalPoints),
        limit_sg: gravity(run.limitPoints),
        terminal_sg: gravity(run.terminalPoints),
        within_half_point_at: at(run.withinHalfHour),
        ...(run.cause === null
          ? {}
          : {
              cause: run.cause,
              stop_sg: gravity(run.terminalPoints),
              stall_at: at(run.stallHour),
              early_ok_from: at(run.earlyHour),
              cause_at: at(run.causeHour),
              stall_end: at(run.stallEndHour),
            }),
        ...(sensed.fault === null ? {} : { sensor_fault: sensed.fault }),
        noise_sigma: sensed.noiseSd / 1000,
        steps: sensed.steps,
        sampling_min: sensed.samplingMinutes,
        gaps: sensed.gaps,
        bias_at_end: 0,
        att50_at: at(run.att50Hour),
        att75_at: at(run.att75Hour),
        t_start: start,
        t_end: at(run.hours),
      }),
    );
  }
  writeFileSync(join(folder, 'batches.csv'), `${heads.join('\n')}\n`);
  writeFileSync(join(folder, 'readings.csv.gz'), gzipSync(`${lines.join('\n')}\n`));
  writeFileSync(join(folder, 'labels.jsonl'), `${labels.join('\n')}\n`);
};
