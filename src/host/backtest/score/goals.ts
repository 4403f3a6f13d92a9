/**
 * The goals of detection against what was measured, a line each. The goals were set for 240 fermentations and 90
 * vessels made like fixtures/bench; a goal that counts false vessels there ("at most one") is scaled to the size of
 * the set at hand and rounded up. Pure: no I/O, no clock.
 */
import { numberText } from '../../../web/pages/quantity.ts';
import type { Score } from './score.ts';

export type GoalLine = {
  readonly measure: string;
  readonly goal: string;
  readonly measured: string;
  /** Null where the set holds no case of the kind. */
  readonly met: boolean | null;
};

/** Vessels of the set that the goals were set for. */
const vesselsOfGoal = 90;

type Figure = { readonly value: number | null; readonly most?: number; readonly least?: number };

const isMet = (figures: readonly Figure[]): boolean | null =>
  figures.some(({ value }) => value === null)
    ? null
    : figures.every(
        ({ value, most = Number.POSITIVE_INFINITY, least = Number.NEGATIVE_INFINITY }) =>
          value !== null && value <= most && value >= least,
      );

const shown = (value: number | null, decimals: number): string =>
  value === null ? 'no case' : numberText(value, decimals).replace('\u2212', '-');

const pair = (one: number | null, other: number | null, unit: string): string =>
  one === null ? 'no case' : `${shown(one, 1)} / ${shown(other, 1)} ${unit}`;

const found = ({ detected, n }: { readonly detected: number; readonly n: number }): string =>
  n === 0 ? 'no case' : `${detected} of ${n}`;

const rate = ({ detected, n }: { readonly detected: number; readonly n: number }): number | null =>
  n === 0 ? null : detected / n;

const points = (gravity: number | null): number | null =>
  gravity === null ? null : gravity * 1000;

const whereAny = (value: number, cases: number): number | null => (cases === 0 ? null : value);

export const goalLines = (score: Score): readonly GoalLine[] => {
  const { stall, false_stall: falsely, pressure, sensor_and_temperature: sensors } = score;
  const forecast = score.forecast['normal+sluggish'];
  const cover = forecast.band90_coverage_all_forecasts_before_finish;
  const falseVessels = Math.max(1, Math.ceil(score.input.of_vessels / vesselsOfGoal));
  const vesselsFalse = ({ false_vessels, of_quiet }: typeof pressure.leak): string =>
    `${false_vessels} of ${of_quiet} quiet vessels false`;
  const bothSensors = {
    n: sensors.stuck_sensor.n + sensors.sensor_silence.n,
    detected: sensors.stuck_sensor.detected + sensors.sensor_silence.detected,
  };
  const [crashesTold = 0, crashes = 0] = sensors.temperature_crash_alarm_within_24h
    .split('/')
    .map(Number);
  const line = (
    measure: string,
    goal: string,
    measured: string,
    figures: readonly Figure[],
  ): GoalLine => ({ measure, goal, measured, met: isMet(figures) });
  const perHundred = (value: number, n: number): string =>
    n === 0 ? 'no case' : `${shown(value, 1)} of ${n}`;
  const terminal = (
    measure: string,
    { abs_err_median, abs_err_p90 }: typeof forecast.att50,
    median: number,
    p90: number,
  ): GoalLine =>
    line(
      measure,
      `at most ${median} / ${p90} points`,
      pair(points(abs_err_median), points(abs_err_p90), 'points'),
      [
        { value: points(abs_err_median), most: median },
        { value: points(abs_err_p90), most: p90 },
      ],
    );
  const event = (
    measure: string,
    counted: typeof pressure.leak,
    goal: string,
    least: number,
  ): GoalLine =>
    line(
      measure,
      `${goal}; at most ${falseVessels} false`,
      `${found(counted)}; ${vesselsFalse(counted)}`,
      [
        { value: rate(counted), least },
        { value: counted.false_vessels, most: falseVessels },
      ],
    );
  return [
    line('stalls detected', 'at least 95 %', found(stall), [{ value: rate(stall), least: 0.95 }]),
    line(
      'delay after the true stop, median / p90',
      'at most 10 / 30 h',
      pair(stall.delay_h_median, stall.delay_h_p90, 'h'),
      [
        { value: stall.delay_h_median, most: 10 },
        { value: stall.delay_h_p90, most: 30 },
      ],
    ),
    line(
      'false stalls per 100 normal batches',
      'at most 3',
      perHundred(falsely.normal.per_100, falsely.normal.n),
      [{ value: whereAny(falsely.normal.per_100, falsely.normal.n), most: 3 }],
    ),
    line(
      'false stalls per 100 sluggish batches',
      'at most 15',
      perHundred(falsely.sluggish.per_100, falsely.sluggish.n),
      [{ value: whereAny(falsely.sluggish.per_100, falsely.sluggish.n), most: 15 }],
    ),
    terminal('terminal gravity error at 50 %, median / p90', forecast.att50, 1.8, 4.5),
    terminal('terminal gravity error at 75 %, median / p90', forecast.att75, 1.2, 3.5),
    line(
      'cover of the 90 % band, all forecasts before the finish',
      '86 to 95 %',
      cover === null ? 'no case' : `${shown(cover * 100, 1)} %`,
      [{ value: cover, least: 0.86, most: 0.95 }],
    ),
    line(
      'crossings of the rating warned of',
      'all',
      found({ detected: pressure.warned_before, n: pressure.crossings }),
      [{ value: whereAny(pressure.missed, pressure.crossings), most: 0 }],
    ),
    line(
      'lead before the crossing, median / p10',
      'at least 13 / 3 h',
      pair(pressure.lead_h_median, pressure.lead_h_p10, 'h'),
      [
        { value: pressure.lead_h_median, least: 13 },
        { value: pressure.lead_h_p10, least: 3 },
      ],
    ),
    line(
      'false over-pressure per 100 quiet vessels',
      'at most 2',
      perHundred(pressure.false_overpressure_per_100_quiet, pressure.quiet_vessels),
      [
        {
          value: whereAny(pressure.false_overpressure_per_100_quiet, pressure.quiet_vessels),
          most: 2,
        },
      ],
    ),
    event('refermentation found', pressure.refermentation, '12 of 13', 12 / 13),
    event('leaks found', pressure.leak, '7 of 8', 7 / 8),
    line('stuck and silent sensors found', '26 of 27', found(bothSensors), [
      { value: rate(bothSensors), least: 26 / 27 },
    ]),
    line(
      'false sensor alarms per 100 other batches',
      'at most 1',
      `${shown(sensors.false_sensor_per_100_other_batches, 1)}`,
      [{ value: whereAny(sensors.false_sensor_per_100_other_batches, score.input.of), most: 1 }],
    ),
    line(
      'temperature crashes alarmed within 24 h',
      'all',
      found({ detected: crashesTold, n: crashes }),
      [{ value: whereAny(crashes - crashesTold, crashes), most: 0 }],
    ),
  ];
};

const verdictWords = (met: boolean | null): string => (met === null ? '-' : met ? 'met' : 'missed');

/** The lines as a table for a terminal. */
export const goalTable = (lines: readonly GoalLine[]): string => {
  const rows = [
    ['measure', 'goal', 'measured', ''],
    ...lines.map(({ measure, goal, measured, met }) => [
      measure,
      goal,
      measured,
      verdictWords(met),
    ]),
  ];
  const widths = [0, 1, 2, 3].map((column) =>
    rows.reduce((most, row) => Math.max(most, row[column]?.length ?? 0), 0),
  );
  return rows
    .map((row) =>
      row
        .map((cell, column) => cell.padEnd(widths[column] ?? 0))
        .join('  ')
        .trimEnd(),
    )
    .join('\n');
};
