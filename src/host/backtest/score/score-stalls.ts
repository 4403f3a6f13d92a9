/** Stalls found, how late, and stalls told where there was none. Definitions: fixtures/bench/score.py. Pure. */
import type { Answers } from './answers.ts';
import { count, per100, quantile, ratios, shareOf } from './figures.ts';
import type { BatchLabel } from './labels.ts';

const graceSeconds = 3600;

/** Times of stall alarms within the record. */
const stallAlarms = (label: BatchLabel, answers: Answers): readonly number[] =>
  answers
    .of(label.batch)
    .alarms.filter(
      ({ at, kind }) => kind === 'stall' && at >= label.t_start && at <= label.t_end + graceSeconds,
    )
    .map(({ at }) => at);

export const scoreStalls = (labels: readonly BatchLabel[], answers: Answers) => {
  const delays: number[] = [];
  const byCause = new Map<string, [number, number]>();
  let premature = 0;
  const stalled = labels.filter(
    (label) => label.class === 'stalled' || label.class === 'restarted',
  );
  for (const label of stalled) {
    const alarms = stallAlarms(label, answers);
    const early = label.early_ok_from ?? Number.POSITIVE_INFINITY;
    const end = label.stall_end ?? label.t_end;
    const right = alarms.find((at) => at >= early && at <= end + graceSeconds);
    const name = `${label.cause ?? 'unknown'}${label.class === 'restarted' ? '+restart' : ''}`;
    const tally = byCause.get(name) ?? [0, 0];
    byCause.set(name, tally);
    tally[1] += 1;
    if (alarms[0] !== undefined && alarms[0] < early) premature += 1;
    if (right === undefined) continue;
    tally[0] += 1;
    delays.push((right - (label.stall_at ?? right)) / 3600);
  }
  return {
    n: stalled.length,
    detected: delays.length,
    detection_rate: shareOf(delays.length, stalled.length),
    delay_h_median: quantile(delays, 0.5),
    delay_h_p90: quantile(delays, 0.9),
    detected_within_24h: shareOf(
      count(delays, (delay) => delay <= 24),
      stalled.length,
    ),
    detected_within_48h: shareOf(
      count(delays, (delay) => delay <= 48),
      stalled.length,
    ),
    premature_before_cause: premature,
    by_cause: ratios(byCause),
  };
};

const falseIn = (labels: readonly BatchLabel[], answers: Answers) => {
  const alarms = labels.map((label) => stallAlarms(label, answers).length);
  const wrong = count(alarms, (number) => number > 0);
  return {
    n: labels.length,
    batches_with_false_stall: wrong,
    per_100: per100(wrong, labels.length),
    alarms_per_100: per100(
      alarms.reduce((sum, number) => sum + number, 0),
      labels.length,
    ),
  };
};

export const scoreFalseStalls = (labels: readonly BatchLabel[], answers: Answers) => {
  const of = (wanted: BatchLabel['class']) =>
    falseIn(
      labels.filter((label) => label.class === wanted),
      answers,
    );
  const bySubtype = new Map<string, [number, number]>();
  for (const label of labels) {
    if (label.class !== 'normal') continue;
    const tally = bySubtype.get(label.subtype) ?? [0, 0];
    bySubtype.set(label.subtype, tally);
    tally[1] += 1;
    if (stallAlarms(label, answers).length > 0) tally[0] += 1;
  }
  return {
    normal: of('normal'),
    sluggish: of('sluggish'),
    stuck_sensor: of('stuck_sensor'),
    sensor_silence: of('sensor_silence'),
    normal_by_subtype: ratios(bySubtype),
  };
};
