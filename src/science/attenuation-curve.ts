/**
 * The attenuation curve of one fermentation: fitted to gravity readings, and what it says of the gravity
 * at any time, of terminal gravity and of the moment of finishing, each with a 90 % band.
 *
 * The way: readings are binned robustly; three curves (attenuation/curve-models.ts) are fitted to the bins together
 * with the sensor's offset and drift, the measured original gravity, hand samples and what is believed of terminal
 * gravity; belief in terminal gravity is walked where it is wide; the curves are averaged by AICc; and the account
 * that the end in sight is only a pause is weighed against them (attenuation/rest.ts).
 * The numbers believed beforehand stand in attenuation/beliefs.ts.
 * A fit is plain JSON. Pure: no I/O, no clock, no randomness; equal input gives equal output.
 * Times are Unix seconds on the way in and out, gravities are apparent specific gravity 20/20.
 */
import { fail, ok, type Result } from '../result.ts';
import { curveEnd } from './attenuation/answers.ts';
import { type Mode, modelWeights } from './attenuation/average.ts';
import { apparentAttenuation, strayShare } from './attenuation/beliefs.ts';
import { binMedians, binsOf, binValues, readingNoise } from './attenuation/bins.ts';
import { curveModels } from './attenuation/curve-models.ts';
import { type FirstCurve, firstCurve } from './attenuation/first-curve.ts';
import { terminalGravity } from './attenuation/forecast.ts';
import { momentsOf } from './attenuation/mixture.ts';
import { modeFinder, type Setting } from './attenuation/mode.ts';
import { excessNoise, latestGap, observedFrom, rowWeights } from './attenuation/observed.ts';
import {
  type AttenuationOptions,
  type AttenuationReadings,
  daySeconds,
  orderedReadings,
} from './attenuation/readings.ts';
import type {
  AttenuationFault,
  AttenuationFit,
  ModelBelief,
  NotYet,
} from './attenuation/record.ts';
import { pauseBelief } from './attenuation/rest.ts';
import { startOf } from './attenuation/start.ts';
import { terminalBelief } from './attenuation/terminal-nodes.ts';

export type { CurveModel } from './attenuation/curve-models.ts';
export { finishAt } from './attenuation/finish.ts';
export {
  gravityAt,
  rateAt,
  readingAt,
  sensorErrorAt,
  terminalGravity,
} from './attenuation/forecast.ts';
export type {
  AttenuationOptions,
  AttenuationReadings,
  GravityBelief,
  HandSample,
} from './attenuation/readings.ts';
export type { AttenuationFault, AttenuationFit, NotYet } from './attenuation/record.ts';

/** Fewer gravities say nothing even with beliefs: a place and a slope. Hand samples and the original count. */
const leastReadings = 3;
/** A fall of less may be foam, temperature or drift. Assumption: two points; less answers earlier and worse. */
const leastFall = 0.002;
/** A wider band of terminal gravity helps nobody. Assumption: 25 points; an ale's whole fall is about 40. */
const widestBand = 0.025;
/** Apparent extract when all real extract is gone: −0.1808 / 0.8192 of the original (Balling), in points of gravity. */
const lowestAttenuated = -0.1808 / 0.8192;
/** A record that begins this far below the original gravity began late. Assumption: beyond offset and foam. */
const lateStart = 0.006;
/** Days before the origin at which a late record puts the original gravity: before any curve falls. */
const longBefore = 30;
/** Models of less weight are left out: they move no band. */
const leastWeight = 0.01;
/** Excess noise of less is not worth another descent: it widens bands by a fortieth. */
const worthwhileExcess = 1.05;

const notYet = (reason: NotYet['reason'], seen: number, needed: number) =>
  fail<NotYet>({ kind: 'not-yet', reason, seen, needed });

/** Fits the curve. Works from the first hours of falling gravity; says not-yet when it cannot know. */
export const fitAttenuation = (
  readings: AttenuationReadings,
  options: AttenuationOptions = {},
): Result<AttenuationFit, AttenuationFault> => {
  const ordered = orderedReadings(readings, options);
  if (!ordered.ok) return ordered;
  const { originSeconds, days, gravities, weights } = ordered.value;
  const daysOf = (seconds: number): number => (seconds - originSeconds) / daySeconds;
  const free = (options.handSamples ?? [])
    .map(({ timeSeconds, gravity, sd }) => ({ days: daysOf(timeSeconds), gravity, sd }))
    .sort((a, b) => a.days - b.days);
  const count = days.length + free.length;
  const known = options.originalGravity ?? null;
  const seen = count + (known === null ? 0 : 1);
  if (count < 1 || seen < leastReadings) return notYet('too-few-readings', seen, leastReadings);

  const bins = binsOf(days);
  const rough = roughCourse(binMedians(bins, days, gravities), free);
  const pitchedAt = options.pitchedAtSeconds ?? null;
  const pitchedDays = pitchedAt === null ? 0 : daysOf(pitchedAt);
  const top = known?.value ?? Math.max(...rough.gravities.slice(0, 3));
  const late = pitchedAt === null && (rough.gravities[0] as number) < top - lateStart;
  const original =
    known === null
      ? null
      : { days: late ? -longBefore : pitchedDays, gravity: known.value, sd: known.sd };
  const possible = Math.max(0.01, top - 1);
  const setting: Setting = {
    pitchedDays,
    pitchKnown: pitchedAt !== null,
    terminal: options.terminalPrior ?? {
      value: 1 + (1 - apparentAttenuation.value) * possible,
      sd: apparentAttenuation.sd * possible,
    },
    terminalBound: { low: Math.min(top - leastFall, 1 + lowestAttenuated * possible), high: top },
  };
  const first = firstCurve(rough.times, rough.gravities, original, setting);
  if (first === null) return notYet('no-fit', count, count + 1);
  const lastDays = rough.times[rough.times.length - 1] as number;
  const fallen = first.fallBy(lastDays);
  if (!(fallen >= leastFall)) return notYet('no-fall-seen', Math.max(0, fallen), leastFall);

  const residuals = residualsFrom(first, days, gravities);
  const readingSd = readingNoise(residuals);
  const values = binValues(bins, days, residuals, weights, readingSd, first.gravitiesAt);
  if (original !== null) free.push(original);
  const observed = observedFrom(values, readingSd, free);

  const left = first.leftAt(observed.timesDays);
  const fall = first.parameters[1] as number;
  const finders = curveModels.map((model) => modeFinder(model, observed, setting));
  let rows = rowWeights(observed, left, fall, strayShare, 1);
  let modes: readonly Mode[] = finders.flatMap((finder) => {
    const mode = finder.find(startOf(finder.model, first, pitchedDays), rows.weights, null);
    return mode === null ? [] : [{ finder, mode }];
  });
  if (modes.length === 0) return notYet('no-fit', count, count + 1);
  const best = modes.reduce((a, b) => (b.mode.objective < a.mode.objective ? b : a));
  const excess = excessNoise(observed, best.mode.values, left, fall, strayShare);
  if (excess > worthwhileExcess) {
    rows = rowWeights(observed, left, fall, strayShare, excess);
    modes = modes.flatMap(({ finder, mode }) => {
      const again = finder.find(mode.parameters, rows.weights, null);
      return again === null ? [] : [{ finder, mode: again }];
    });
  }
  const shares = modelWeights(modes, rows.effectiveRows);
  const averaged = new Float64Array(observed.timesDays.length);
  for (const [k, { mode }] of modes.entries()) {
    for (let i = 0; i < averaged.length; i += 1) {
      averaged[i] = (averaged[i] as number) + (shares[k] as number) * (mode.values[i] as number);
    }
  }
  const leftLast = first.leftAt(Float64Array.of(lastDays))[0] as number;
  const gap = latestGap(observed, averaged, left, leftLast, fall, strayShare, excess);
  const models = shares.flatMap((weight, k): ModelBelief[] => {
    const { finder, mode } = modes[k] as Mode;
    if (weight < leastWeight) return [];
    const belief = terminalBelief(finder, mode, rows.weights, setting.terminalBound);
    return belief === null ? [] : [{ model: finder.model, weight, ...belief }];
  });
  const kept = models.reduce((sum, { weight }) => sum + weight, 0);
  if (!(kept > 0)) return notYet('no-fit', count, count + 1);

  const fitted: AttenuationFit = {
    originSeconds,
    lastSeconds: originSeconds + daySeconds * lastDays,
    readings: count,
    setAside: values.setAside,
    models: models.map((model) => ({ ...model, weight: model.weight / kept })),
    strayShare,
    gap,
    readingSd,
    readingsPerIndependent: excess,
    rest: { share: 0, terminal: setting.terminal },
    usedPrior: Boolean(options.terminalPrior),
  };
  const end = momentsOf(curveEnd(fitted));
  const share = pauseBelief(
    { value: end.mean, sd: Math.sqrt(end.variance) },
    setting.terminal,
    top,
  );
  const fit: AttenuationFit = { ...fitted, rest: { share, terminal: setting.terminal } };
  const terminal = terminalGravity(fit);
  const width = terminal.high - terminal.low;
  return width <= widestBand ? ok(fit) : notYet('terminal-unknown', width, widestBand);
};

type Course = { readonly times: Float64Array; readonly gravities: Float64Array };

/** Bin medians and hand samples in order of time. */
const roughCourse = (
  { times, medians }: { readonly times: Float64Array; readonly medians: Float64Array },
  free: readonly { readonly days: number; readonly gravity: number }[],
): Course => {
  if (free.length === 0) return { times, gravities: medians };
  const all = [
    ...Array.from(times, (days, k) => ({ days, gravity: medians[k] as number })),
    ...free,
  ].sort((a, b) => a.days - b.days);
  return {
    times: Float64Array.from(all, ({ days }) => days),
    gravities: Float64Array.from(all, ({ gravity }) => gravity),
  };
};

const residualsFrom = (
  first: FirstCurve,
  days: Float64Array,
  gravities: Float64Array,
): Float64Array => {
  const residuals = new Float64Array(days.length);
  first.gravitiesAt(days, residuals);
  for (let i = 0; i < days.length; i += 1) {
    residuals[i] = (gravities[i] as number) - (residuals[i] as number);
  }
  return residuals;
};
