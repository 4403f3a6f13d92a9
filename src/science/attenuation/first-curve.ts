/**
 * A first curve from the data alone: start values, and the slope that bins are compared along.
 * Generalised logistic through bin medians, from several guesses of terminal gravity; the best is kept.
 * Pure: no I/O, no clock, no randomness.
 */
import { fitLeastSquares } from '../fit/least-squares.ts';
import { curveBeliefs } from './beliefs.ts';
import { type Standing, standAt } from './curve-models.ts';
import { gravityRows } from './gravity-rows.ts';
import type { Setting } from './mode.ts';

export type FirstCurve = {
  /** Terminal gravity, fall, place, ln rate, shape of a generalised logistic, as the sensor reads. */
  readonly parameters: readonly number[];
  readonly gravitiesAt: (timesDays: Float64Array, into: Float64Array) => void;
  readonly leftAt: (timesDays: Float64Array) => Float64Array;
  /** How far gravity has fallen from the start of the record by this time. */
  readonly fallBy: (timeDays: number) => number;
};

/** Looseness of the first curve: it must follow the data, not judge it. Assumption: one point and 1 % of the fall. */
const looseGravity = 0.001;
const looseShare = 0.01;

const crossing = (
  times: Float64Array,
  values: Float64Array,
  level: number,
  slope: number,
): number => {
  for (let k = 0; k < times.length; k += 1) {
    if ((values[k] as number) > level) continue;
    if (k === 0) return times[0] as number;
    const above = values[k - 1] as number;
    const share = above > level ? (above - level) / (above - (values[k] as number)) : 1;
    return (times[k - 1] as number) + share * ((times[k] as number) - (times[k - 1] as number));
  }
  const last = times.length - 1;
  return (times[last] as number) + ((values[last] as number) - level) / slope;
};

export const firstCurve = (
  times: Float64Array,
  medians: Float64Array,
  original: { readonly days: number; readonly gravity: number } | null,
  setting: Setting,
): FirstCurve | null => {
  const count = times.length;
  const last = count - 1;
  // A running median of three takes single spikes out of the guesses.
  const calm = medians.map(
    (_, k) =>
      [k - 1, k, k + 1]
        .map((at) => medians[Math.min(last, Math.max(0, at))] as number)
        .sort((a, b) => a - b)[1] as number,
  );
  const top = Math.max(calm[0] as number, original?.gravity ?? 0);
  const bottom = Math.min(...calm);
  const fallen = Math.max(0.001, top - bottom);
  const back = Math.max(0, last - Math.max(2, Math.floor(count / 4)));
  const slope = Math.max(
    0.0005,
    ((calm[back] as number) - (calm[last] as number)) /
      Math.max(0.05, (times[last] as number) - (times[back] as number)),
  );
  const usual = setting.terminal.value;
  const guesses = [bottom - 0.02 * fallen, Math.min(usual, bottom - 0.1 * fallen)];
  const rows = original === null ? count : count + 1;
  const rowTimes = new Float64Array(rows);
  const rowValues = new Float64Array(rows);
  const weights = new Float64Array(rows);
  rowTimes.set(times);
  rowValues.set(medians);
  weights.fill(1 / (looseGravity ** 2 + (looseShare * fallen) ** 2));
  if (original !== null) {
    rowTimes[count] = original.days;
    rowValues[count] = original.gravity;
  }
  const belief = curveBeliefs['generalised-logistic'];
  const shape = belief.shape ?? { value: 0, sd: 1 };
  const evaluate = gravityRows('generalised-logistic', rowTimes);
  let best: { readonly objective: number; readonly parameters: readonly number[] } | null = null;
  for (const terminal of guesses) {
    const fall = top - terminal;
    const early = crossing(times, calm, top - 0.2 * fall, slope);
    const late = crossing(times, calm, top - 0.8 * fall, slope);
    const rate = 3.75 / Math.max(0.05, late - early);
    const result = fitLeastSquares({
      observations: rowValues,
      weights,
      evaluate,
      start: [terminal, fall, early + 1.27 / rate, Math.log(rate), Math.LN2],
      bounds: [
        setting.terminalBound,
        { low: 0.0005, high: 0.25 },
        {
          low: setting.pitchedDays - (setting.pitchKnown ? 0 : 5),
          high: setting.pitchedDays + 120,
        },
        { low: -5, high: 5 },
        belief.shapeBound,
      ],
      priors: [
        {
          coefficients: [0, 0, 1, 0, 0],
          value: setting.pitchedDays + belief.place.value,
          sd: 4 * belief.place.sd,
        },
        { coefficients: [0, 0, 0, 1, 0], value: belief.lnRate.value, sd: 2 * belief.lnRate.sd },
        { coefficients: [0, 0, 0, 0, 1], ...shape },
        { coefficients: [1, 0, 0, 0, 0], ...setting.terminal },
      ],
      loss: { kind: 'huber', tuning: 1.5 },
      noise: { kind: 'known', sd: 1 },
      tolerance: { offset: 0.01, step: 1e-8, sumOfSquares: 1e-6, iterations: 60 },
    });
    if (result.ok && (best === null || result.value.objective < best.objective)) {
      best = { objective: result.value.objective, parameters: result.value.parameters };
    }
  }
  if (best === null) return null;
  const { parameters } = best;
  const standing: Standing = { left: 1, byX: 0, byShape: 0 };
  const leftOf = (time: number): number => {
    const x = Math.exp(parameters[3] as number) * (time - (parameters[2] as number));
    standAt('generalised-logistic', x, parameters[4] as number, standing);
    return standing.left;
  };
  const gravityOf = (time: number): number =>
    (parameters[0] as number) + (parameters[1] as number) * leftOf(time);
  return {
    parameters,
    gravitiesAt: (timesDays, into) => {
      for (let k = 0; k < timesDays.length; k += 1) into[k] = gravityOf(timesDays[k] as number);
    },
    leftAt: (timesDays) => timesDays.map(leftOf),
    fallBy: (time) =>
      gravityOf(Math.min(setting.pitchedDays, times[0] as number)) - gravityOf(time),
  };
};
