/**
 * The readings and what else is known, checked and put in order of time.
 * Pure: no I/O, no clock, no randomness.
 */
import { fail, ok, type Result } from '../../result.ts';
import type { AttenuationFault } from './record.ts';

/** What is believed of a gravity, as a normal distribution. */
export type GravityBelief = { readonly value: number; readonly sd: number };

/** A gravity measured by hand; it is free of the sensor's offset and drift. */
export type HandSample = {
  readonly timeSeconds: number;
  readonly gravity: number;
  readonly sd: number;
};

/** Readings of one sensor. Order does not matter; arrays of equal length. */
export type AttenuationReadings = {
  readonly timesSeconds: ArrayLike<number>;
  readonly gravities: ArrayLike<number>;
  /** Relative weight of each reading, 1 where absent, 0 to leave a reading out. */
  readonly weights?: ArrayLike<number> | null;
};

export type AttenuationOptions = {
  /** Gravity before fermentation as measured, with the standard deviation of that measurement. */
  readonly originalGravity?: GravityBelief | null;
  /** What is known of terminal gravity beforehand: limit test, brewer's estimate, past batches. */
  readonly terminalPrior?: GravityBelief | null;
  /** When the batch was pitched, if known: the curve does not fall before. */
  readonly pitchedAtSeconds?: number | null;
  readonly handSamples?: readonly HandSample[] | null;
};

export const daySeconds = 86_400;

/** Gravities outside are refused: the bounds of the gravity channel (src/science/units/channel.ts). */
const gravityRange = { low: 0.95, high: 1.25 };
/** Unix seconds from 1970 to the year 5138; outside lies a unit mistaken. */
const timeRange = { low: 0, high: 1e11 };
/** A hand sample or belief sharper than a hundredth of a point, or wider than all gravities, is a slip. */
const sdRange = { low: 1e-5, high: 1 };
const weightRange = { low: 0, high: 1e6 };

type Range = { readonly low: number; readonly high: number };

/** Readings with weight, in order of time, in days since the origin. */
export type OrderedReadings = {
  /** Unix seconds of the first reading, or of the first hand sample where there is none. */
  readonly originSeconds: number;
  readonly days: Float64Array;
  readonly gravities: Float64Array;
  readonly weights: Float64Array | null;
};

const outside = (field: string, value: number, { low, high }: Range): AttenuationFault | null =>
  value >= low && value <= high
    ? null
    : {
        kind: 'outside-range',
        field,
        value: Number.isFinite(value) ? value : null,
        low,
        high,
      };

const faultOfOptions = (options: AttenuationOptions): AttenuationFault | null => {
  const { originalGravity, terminalPrior, pitchedAtSeconds, handSamples } = options;
  for (const [field, belief] of [
    ['originalGravity', originalGravity],
    ['terminalPrior', terminalPrior],
  ] as const) {
    if (!belief) continue;
    const fault =
      outside(`${field}.value`, belief.value, gravityRange) ??
      outside(`${field}.sd`, belief.sd, sdRange);
    if (fault !== null) return fault;
  }
  for (const { timeSeconds, gravity, sd } of handSamples ?? []) {
    const fault =
      outside('handSamples.timeSeconds', timeSeconds, timeRange) ??
      outside('handSamples.gravity', gravity, gravityRange) ??
      outside('handSamples.sd', sd, sdRange);
    if (fault !== null) return fault;
  }
  return outside('pitchedAtSeconds', pitchedAtSeconds ?? 0, timeRange);
};

export const orderedReadings = (
  readings: AttenuationReadings,
  options: AttenuationOptions,
): Result<OrderedReadings, AttenuationFault> => {
  const wrong = faultOfOptions(options);
  if (wrong !== null) return fail(wrong);
  const { timesSeconds, gravities } = readings;
  const given = readings.weights ?? null;
  const count = timesSeconds.length;
  if (gravities.length !== count || (given !== null && given.length !== count)) {
    return fail({
      kind: 'lengths-differ',
      times: count,
      gravities: gravities.length,
      weights: given?.length ?? null,
    });
  }
  let ascending = true;
  let before = Number.NEGATIVE_INFINITY;
  const order: number[] = [];
  for (let i = 0; i < count; i += 1) {
    const time = timesSeconds[i] as number;
    const weight = given === null ? 1 : (given[i] as number);
    const fault =
      outside('timesSeconds', time, timeRange) ??
      outside('gravities', gravities[i] as number, gravityRange) ??
      outside('weights', weight, weightRange);
    if (fault !== null) return fail(fault);
    if (weight === 0) continue;
    if (time < before) ascending = false;
    before = time;
    order.push(i);
  }
  if (!ascending) order.sort((a, b) => (timesSeconds[a] as number) - (timesSeconds[b] as number));
  const first = order[0];
  const samples = (options.handSamples ?? []).map(({ timeSeconds }) => timeSeconds);
  const originSeconds =
    first === undefined
      ? samples.length > 0
        ? Math.min(...samples)
        : 0
      : (timesSeconds[first] as number);
  const days = new Float64Array(order.length);
  const values = new Float64Array(order.length);
  const weights = given === null ? null : new Float64Array(order.length);
  for (let k = 0; k < order.length; k += 1) {
    const i = order[k] as number;
    days[k] = ((timesSeconds[i] as number) - originSeconds) / daySeconds;
    values[k] = gravities[i] as number;
    if (weights !== null && given !== null) weights[k] = given[i] as number;
  }
  return ok({ originSeconds, days, gravities: values, weights });
};
