/** How well terminal gravity and the finish were foretold. Definitions: fixtures/bench/score.py. Pure. */
import type { Answers, ScoredForecast } from './answers.ts';
import { count, meanOf, quantile } from './figures.ts';
import type { BatchLabel } from './labels.ts';

/** A forecast counts for a moment if it was made within this long before it. */
const reachSeconds = 86_400 * 1.5;

const covers = ({ low, high }: ScoredForecast, terminal: number): boolean | null =>
  low === null || high === null ? null : low <= terminal && terminal <= high;

const atShare = (
  labels: readonly BatchLabel[],
  answers: Answers,
  momentOf: (label: BatchLabel) => number | null,
) => {
  const errors: number[] = [];
  const errorsAgainstSensor: number[] = [];
  const finishErrors: number[] = [];
  const widths: number[] = [];
  let covered = 0;
  let missing = 0;
  for (const label of labels) {
    const moment = momentOf(label);
    const said =
      moment === null
        ? undefined
        : answers
            .of(label.batch)
            .forecast.findLast(({ at }) => at >= moment - reachSeconds && at <= moment);
    if (said === undefined) {
      missing += 1;
      continue;
    }
    errors.push(Math.abs(said.terminal - label.terminal_sg));
    errorsAgainstSensor.push(Math.abs(said.terminal - label.terminal_sg - label.bias_at_end));
    if (said.low !== null && said.high !== null) {
      widths.push(said.high - said.low);
      if (covers(said, label.terminal_sg)) covered += 1;
    }
    if (said.finishAt !== null && label.within_half_point_at !== null) {
      finishErrors.push(Math.abs(said.finishAt - label.within_half_point_at) / 3600);
    }
  }
  return {
    n: labels.length,
    no_forecast: missing,
    abs_err_median: quantile(errors, 0.5),
    abs_err_p90: quantile(errors, 0.9),
    abs_err_vs_biased_sensor_median: quantile(errorsAgainstSensor, 0.5),
    band90_coverage: widths.length === 0 ? null : covered / widths.length,
    band90_width_median: quantile(widths, 0.5),
    finish_abs_err_h_median: quantile(finishErrors, 0.5),
    finish_abs_err_h_p90: quantile(finishErrors, 0.9),
  };
};

/** Share of a batch's forecasts before its finish whose band held; null where none had one. */
const coverBeforeFinish = (label: BatchLabel, answers: Answers): number | null => {
  const finish = label.within_half_point_at ?? Number.POSITIVE_INFINITY;
  const held = answers
    .of(label.batch)
    .forecast.filter(({ at }) => at <= finish)
    .map((said) => covers(said, label.terminal_sg))
    .filter((inside) => inside !== null);
  return held.length === 0 ? null : count(held, (inside) => inside) / held.length;
};

const of = (labels: readonly BatchLabel[], answers: Answers) => ({
  att50: atShare(labels, answers, ({ att50_at }) => att50_at),
  att75: atShare(labels, answers, ({ att75_at }) => att75_at),
  band90_coverage_all_forecasts_before_finish: meanOf(
    labels.map((label) => coverBeforeFinish(label, answers)).filter((share) => share !== null),
  ),
});

export const scoreForecasts = (labels: readonly BatchLabel[], answers: Answers) => {
  const normal = labels.filter((label) => label.class === 'normal');
  const sluggish = labels.filter((label) => label.class === 'sluggish');
  const both = labels.filter((label) => label.class === 'normal' || label.class === 'sluggish');
  return {
    'normal+sluggish': of(both, answers),
    normal: of(normal, answers),
    sluggish: of(sluggish, answers),
  };
};
