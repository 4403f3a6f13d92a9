/**
 * The attenuation curve of one fermentation: fitted to gravity readings, and what it says of the gravity
 * at any time, of terminal gravity and of the moment of finishing, each with a 90 % band.
 *
 * The way: readings are binned robustly; three curves (attenuation/curve-models.ts) are fitted to the bins together
 * with the sensor's offset and drift, the measured original gravity, hand samples and what is believed of terminal
 * gravity; belief in terminal gravity is walked where it is wide; the curves are averaged by AICc
 * (C. M. Hurvich, C.-L. Tsai, Biometrika 76 (1989) 297; K. P. Burnham, D. R. Anderson, Model Selection and
 * Multimodel Inference, 2nd ed. 2002, sections 2.4 and 2.9).
 * A fit is plain JSON. Pure: no I/O, no clock, no randomness; equal input gives equal output.
 * Times are Unix seconds on the way in and out, gravities are apparent specific gravity 20/20.
 */
import { fail, ok, type Result } from '../result.ts';
import { apparentAttenuation, strayShare } from './attenuation/beliefs.ts';
import { binMedians, binsOf, binValues, readingNoise } from './attenuation/bins.ts';
import {
  type CurveModel,
  curveModels,
  parameterCount,
  placeOf,
} from './attenuation/curve-models.ts';
import { type FirstCurve, firstCurve } from './attenuation/first-curve.ts';
import { curveEnd, terminalGravity } from './attenuation/forecast.ts';
import { momentsOf } from './attenuation/mixture.ts';
import { type ModeFinder, modeFinder, type Setting } from './attenuation/mode.ts';
import { type Observed, rowWeights } from './attenuation/observed.ts';
import type {
  AttenuationFault,
  AttenuationFit,
  ModelBelief,
  NotYet,
} from './attenuation/record.ts';
import { pauseBelief } from './attenuation/rest.ts';
import { terminalBelief } from './attenuation/terminal-nodes.ts';
import type { LeastSquaresFit } from './fit/least-squares.ts';
import { robustSpread } from './fit/spread.ts';

export type { CurveModel } from './attenuation/curve-models.ts';
export {
  finishAt,
  gravityAt,
  rateAt,
  readingAt,
  sensorErrorAt,
  terminalGravity,
} from './attenuation/forecast.ts';
export type { AttenuationFault, AttenuationFit, Estimate, NotYet } from './attenuation/record.ts';

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

const daySeconds = 86_400;
/** Readings outside are refused: the channel's own bounds (src/science/units/channel.ts). */
const gravityRange = { low: 0.95, high: 1.25 };
/** Fewer say nothing even with beliefs: a place and a slope. */
const leastReadings = 3;
/** A fall of less may be foam, temperature or drift. Assumption: two points; less answers earlier and worse. */
const leastFall = 0.002;
/** A wider band of terminal gravity helps nobody. Assumption: 25 points; an ale's whole fall is about 40. */
const widestBand = 0.025;
/** Apparent extract when all real extract is gone: −0.1808 / 0.8192 of the original (Balling), in points of gravity. */
const lowestAttenuated = -0.1808 / 0.8192;
/** Models of less weight are left out: they move no band. */
const leastWeight = 0.01;

const notYet = (reason: NotYet['reason'], seen: number, needed: number) =>
  fail<NotYet>({ kind: 'not-yet', reason, seen, needed });

type Sorted = {
  readonly originSeconds: number;
  readonly days: Float64Array;
  readonly gravities: Float64Array;
  readonly weights: Float64Array | null;
};

const outside = (field: string, value: number, low: number, high: number): AttenuationFault => ({
  kind: 'outside-range',
  field,
  value: Number.isFinite(value) ? value : null,
  low,
  high,
});

const sorted = (readings: AttenuationReadings): Result<Sorted, AttenuationFault> => {
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
  const order: number[] = [];
  let before = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < count; i += 1) {
    const time = timesSeconds[i] as number;
    const gravity = gravities[i] as number;
    const weight = given === null ? 1 : (given[i] as number);
    if (!(time >= 0 && time <= 1e11)) return fail(outside('timesSeconds', time, 0, 1e11));
    if (!(gravity >= gravityRange.low && gravity <= gravityRange.high)) {
      return fail(outside('gravities', gravity, gravityRange.low, gravityRange.high));
    }
    if (!(weight >= 0 && weight <= 1e6)) return fail(outside('weights', weight, 0, 1e6));
    if (weight === 0) continue;
    if (time < before) ascending = false;
    before = time;
    order.push(i);
  }
  if (!ascending) order.sort((a, b) => (timesSeconds[a] as number) - (timesSeconds[b] as number));
  const originSeconds = order.length === 0 ? 0 : (timesSeconds[order[0] as number] as number);
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

const badOption = (options: AttenuationOptions): AttenuationFault | null => {
  const beliefs = [
    ['originalGravity', options.originalGravity],
    ['terminalPrior', options.terminalPrior],
    ...(options.handSamples ?? []).map(
      ({ gravity, sd }) => ['handSamples', { value: gravity, sd }] as const,
    ),
  ] as const;
  for (const [field, belief] of beliefs) {
    if (!belief) continue;
    if (!(belief.value >= gravityRange.low && belief.value <= gravityRange.high)) {
      return outside(`${field}.value`, belief.value, gravityRange.low, gravityRange.high);
    }
    if (!(belief.sd >= 1e-5 && belief.sd <= 1)) return outside(`${field}.sd`, belief.sd, 1e-5, 1);
  }
  for (const { timeSeconds } of options.handSamples ?? []) {
    if (!(timeSeconds >= 0 && timeSeconds <= 1e11)) {
      return outside('handSamples.timeSeconds', timeSeconds, 0, 1e11);
    }
  }
  const pitched = options.pitchedAtSeconds ?? 0;
  return pitched >= 0 && pitched <= 1e11 ? null : outside('pitchedAtSeconds', pitched, 0, 1e11);
};

/** Start of one model from the first curve: same gravities, same times at nine tenths and one tenth left. */
const startOf = (model: CurveModel, first: FirstCurve, setting: Setting): readonly number[] => {
  if (model === 'generalised-logistic') return [...first.parameters, 0, 0];
  const rate = Math.exp(first.parameters[3] as number);
  const shape = first.parameters[4] as number;
  const timeOf = (left: number): number =>
    (first.parameters[2] as number) + placeOf('generalised-logistic', left, shape) / rate;
  const own = model === 'lagged' ? 0.5 : 0;
  const early = timeOf(0.9);
  const late = timeOf(0.1);
  const width = placeOf(model, 0.1, own) - placeOf(model, 0.9, own);
  const ownRate = width / Math.max(1e-3, late - early);
  const place = Math.max(setting.pitchedDays, early - placeOf(model, 0.9, own) / ownRate);
  const gravities = first.parameters.slice(0, 2);
  return [
    ...gravities,
    place,
    Math.log(ownRate),
    ...(parameterCount[model] === 5 ? [own] : []),
    0,
    0,
  ];
};

const observedFrom = (
  bins: {
    readonly times: Float64Array;
    readonly gravities: Float64Array;
    readonly weights: Float64Array;
  },
  noise: number,
  free: readonly { readonly days: number; readonly gravity: number; readonly sd: number }[],
): Observed => {
  const count = bins.times.length;
  const rows = count + free.length;
  const observed = {
    timesDays: new Float64Array(rows),
    gravities: new Float64Array(rows),
    noise: new Float64Array(rows),
    sensor: new Float64Array(rows),
    drift: new Float64Array(rows),
  };
  for (let k = 0; k < count; k += 1) {
    observed.timesDays[k] = bins.times[k] as number;
    observed.gravities[k] = bins.gravities[k] as number;
    observed.noise[k] = (noise * noise) / (bins.weights[k] as number);
    observed.sensor[k] = 1;
    observed.drift[k] = bins.times[k] as number;
  }
  for (const [k, { days, gravity, sd }] of free.entries()) {
    observed.timesDays[count + k] = days;
    observed.gravities[count + k] = gravity;
    observed.noise[count + k] = sd * sd;
  }
  return observed;
};

/** Fits the curve. Works from the first hours of falling gravity; says not-yet when it cannot know. */
export const fitAttenuation = (
  readings: AttenuationReadings,
  options: AttenuationOptions = {},
): Result<AttenuationFit, AttenuationFault> => {
  const wrong = badOption(options);
  if (wrong !== null) return fail(wrong);
  const input = sorted(readings);
  if (!input.ok) return input;
  const { originSeconds, days, gravities, weights: readingWeights } = input.value;
  const count = days.length;
  if (count < leastReadings) return notYet('too-few-readings', count, leastReadings);
  const original = options.originalGravity ?? null;
  const pitchedAt = options.pitchedAtSeconds ?? null;
  const pitchedDays = pitchedAt === null ? 0 : (pitchedAt - originSeconds) / daySeconds;

  const bins = binsOf(days);
  const medians = binMedians(bins, days, gravities);
  const highest = original?.value ?? Math.max(...medians.medians.slice(0, 3));
  const setting: Setting = {
    pitchedDays,
    pitchKnown: pitchedAt !== null,
    terminal: options.terminalPrior ?? {
      value: 1 + (1 - apparentAttenuation.value) * (highest - 1),
      sd: apparentAttenuation.sd * Math.max(0.01, highest - 1),
    },
    terminalBound: { low: 1 + lowestAttenuated * Math.max(0.01, highest - 1), high: highest },
  };
  const first = firstCurve(medians.times, medians.medians, original, setting);
  if (first === null) return notYet('no-fit', count, count + 1);

  const residuals = new Float64Array(count);
  first.gravitiesAt(days, residuals);
  for (let i = 0; i < count; i += 1) {
    residuals[i] = (gravities[i] as number) - (residuals[i] as number);
  }
  const noise = readingNoise(residuals);
  const values = binValues(bins, days, residuals, readingWeights, noise, first.gravitiesAt);
  const free = (options.handSamples ?? []).map(({ timeSeconds, gravity, sd }) => ({
    days: (timeSeconds - originSeconds) / daySeconds,
    gravity,
    sd,
  }));
  if (original !== null) free.push({ days: pitchedDays, gravity: original.value, sd: original.sd });
  const observed = observedFrom(values, noise, free);

  const fallSeen = first.fallBy(days[count - 1] as number);
  if (fallSeen < leastFall) return notYet('no-fall-seen', Math.max(0, fallSeen), leastFall);

  const left = first.leftAt(observed.timesDays);
  let rows = rowWeights(observed, left, first.parameters[1] as number, strayShare, 1);
  const finders = curveModels.map((model) => modeFinder(model, observed, setting));
  let modes: { readonly finder: ModeFinder; readonly mode: LeastSquaresFit }[] = [];
  const findModes = (starts: readonly (readonly number[])[]): void => {
    modes = finders.flatMap((finder, k) => {
      const mode = finder.find(starts[k] as readonly number[], rows.weights, null);
      return mode === null ? [] : [{ finder, mode }];
    });
  };
  findModes(finders.map(({ model }) => startOf(model, first, setting)));
  if (modes.length === 0) return notYet('no-fit', count, count + 1);
  const best = modes.reduce((a, b) => (b.mode.objective < a.mode.objective ? b : a));
  const sensorRows = values.times.length;
  const excess = excessNoise(
    observed,
    best.mode.values,
    left,
    first.parameters[1] as number,
    sensorRows,
  );
  if (excess > 1.05) {
    rows = rowWeights(observed, left, first.parameters[1] as number, strayShare, excess);
    const started = new Map(modes.map(({ finder, mode }) => [finder.model, mode.parameters]));
    findModes(finders.map(({ model }) => started.get(model) ?? startOf(model, first, setting)));
    if (modes.length === 0) return notYet('no-fit', count, count + 1);
  }

  const criteria = modes.map(({ finder, mode }) => {
    const freedom = finder.freedom(mode);
    const room = Math.max(2, rows.effectiveRows - freedom - 1);
    return mode.objective + 2 * freedom + (2 * freedom * (freedom + 1)) / room;
  });
  const least = Math.min(...criteria);
  const raw = criteria.map((criterion) => Math.exp((least - criterion) / 2));
  const total = raw.reduce((sum, weight) => sum + weight, 0);
  const models: ModelBelief[] = [];
  for (const [k, { finder, mode }] of modes.entries()) {
    const weight = (raw[k] as number) / total;
    if (weight < leastWeight) continue;
    const belief = terminalBelief(finder, mode, rows.weights, setting.terminalBound);
    if (belief !== null) models.push({ model: finder.model, weight, ...belief });
  }
  const kept = models.reduce((sum, { weight }) => sum + weight, 0);
  if (kept === 0) return notYet('no-fit', count, count + 1);
  const fitted: AttenuationFit = {
    originSeconds,
    lastSeconds: originSeconds + daySeconds * (days[count - 1] as number),
    readings: count,
    setAside: values.setAside,
    models: models.map((model) => ({ ...model, weight: model.weight / kept })),
    strayShare,
    readingSd: noise,
    readingsPerIndependent: excess,
    rest: { share: 0, terminal: setting.terminal },
    usedPrior: Boolean(options.terminalPrior),
  };
  const end = momentsOf(curveEnd(fitted));
  const seen = { value: end.mean, sd: Math.sqrt(end.variance) };
  const rest = {
    share: pauseBelief(seen, setting.terminal, highest),
    terminal: setting.terminal,
  };
  const fit: AttenuationFit = { ...fitted, rest };
  const terminal = terminalGravity(fit);
  const width = terminal.high - terminal.low;
  if (width > widestBand) return notYet('terminal-unknown', width, widestBand);
  return ok(fit);
};

/** How many times the variance of the bins exceeds that of independent readings and straying; at least 1. */
const excessNoise = (
  observed: Observed,
  values: Float64Array,
  left: Float64Array,
  fall: number,
  sensorRows: number,
): number => {
  const scaled = new Float64Array(sensorRows);
  let together = 0;
  let squares = 0;
  for (let k = 0; k < sensorRows; k += 1) {
    const share = left[k] as number;
    const stray = 4 * (strayShare * fall) ** 2 * Math.max(0, share * (1 - share));
    const residual = (observed.gravities[k] as number) - (values[k] as number);
    scaled[k] = residual / Math.sqrt((observed.noise[k] as number) + stray);
  }
  for (let k = 1; k < sensorRows; k += 1) {
    const a = Math.max(-3, Math.min(3, scaled[k - 1] as number));
    const b = Math.max(-3, Math.min(3, scaled[k] as number));
    together += a * b;
    squares += b * b;
  }
  const correlation = squares > 0 ? Math.min(0.9, Math.max(0, together / squares)) : 0;
  const spread = robustSpread(scaled, sensorRows);
  if (sensorRows < 8) return 1;
  return Math.max(1, spread * spread) * ((1 + correlation) / (1 - correlation));
};
