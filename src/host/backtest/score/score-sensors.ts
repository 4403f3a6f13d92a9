/** Stuck and silent sensors, and temperature crashes, found. Definitions: fixtures/bench/score.py. Pure. */
import type { Answers } from './answers.ts';
import { count, per100, quantile, shareOf } from './figures.ts';
import type { BatchLabel } from './labels.ts';

/** What a sensor's own fault may be found within, after it is over. */
const faultGraceSeconds = 7200;
const daySeconds = 86_400;

const timesOf = (label: BatchLabel, answers: Answers, wanted: string): readonly number[] =>
  answers
    .of(label.batch)
    .alarms.filter(({ kind }) => kind === wanted)
    .map(({ at }) => at);

const faults = (labels: readonly BatchLabel[], answers: Answers) => {
  const delays = labels.flatMap((label) => {
    const fault = label.sensor_fault;
    if (!fault) return [];
    const found = timesOf(label, answers, 'sensor').find(
      (at) => at >= fault.at && at <= fault.until + faultGraceSeconds,
    );
    return found === undefined ? [] : [(found - fault.at) / 3600];
  });
  return {
    n: labels.length,
    detected: delays.length,
    rate: shareOf(delays.length, labels.length),
    delay_h_median: quantile(delays, 0.5),
  };
};

/** A sensor alarm is excused in a gap and for a day after the sensor was moved. */
const isFalse = (label: BatchLabel, at: number): boolean =>
  !label.gaps.some(([from, to]) => at >= from && at <= to + 3600) &&
  !label.steps.some(([from]) => at >= from && at <= from + daySeconds);

export const scoreSensors = (labels: readonly BatchLabel[], answers: Answers) => {
  const others = labels.filter(
    (label) =>
      label.class !== 'stuck_sensor' &&
      label.class !== 'sensor_silence' &&
      label.sampling_min <= 60,
  );
  const crashes = labels.filter(({ cause }) => cause === 'temperature_crash');
  const told = count(crashes, (label) => {
    const cause = label.cause_at;
    return timesOf(label, answers, 'temperature').some(
      (at) => cause != null && at >= cause && at <= cause + daySeconds,
    );
  });
  return {
    stuck_sensor: faults(
      labels.filter((label) => label.class === 'stuck_sensor'),
      answers,
    ),
    sensor_silence: faults(
      labels.filter((label) => label.class === 'sensor_silence'),
      answers,
    ),
    false_sensor_per_100_other_batches: per100(
      count(others, (label) => timesOf(label, answers, 'sensor').some((at) => isFalse(label, at))),
      others.length,
    ),
    temperature_crash_alarm_within_24h: `${told}/${crashes.length}`,
  };
};
