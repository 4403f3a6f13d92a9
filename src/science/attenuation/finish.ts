/**
 * When a fermentation finishes, with a 90 % band.
 * Pure: no I/O, no clock, no randomness.
 */

import type { Estimate } from '../estimate.ts';
import { curveEnd, daysOf, mixtureOf, stand } from './answers.ts';
import { aheadTimeError, restDays, restError, tailError } from './beliefs.ts';
import { type CurveModel, parameterCount, placeOf } from './curve-models.ts';
import { estimateOf, joined, momentsOf } from './mixture.ts';
import { strayVariance } from './observed.ts';
import { daySeconds } from './readings.ts';
import type { AttenuationFit } from './record.ts';

/** "Finished" is half a point above terminal. Common practice, no source; a larger margin finishes earlier. */
const finishMargin = 0.0005;
/** The tail is what comes after this share is left. Assumption. */
const tailFrom = 0.1;
/** A fall has begun when this share of it is left. */
const justBegun = 0.999;
/** Times nearer to the last reading than this many days are off by as much either way. Assumption. */
const nearDays = 8;

/** Unix seconds at which gravity comes within half a point of terminal. In the past if it has. */
export const finishAt = (fit: AttenuationFit): Estimate => {
  const now = daysOf(fit, fit.lastSeconds);
  const timeOf = (model: CurveModel, parameters: readonly number[], left: number): number => {
    const shape = parameterCount[model] === 5 ? (parameters[4] as number) : 0;
    return (
      (parameters[2] as number) + placeOf(model, left, shape) * Math.exp(-(parameters[3] as number))
    );
  };
  // A fall of no more than the margin is finished as soon as it begins.
  const finishOf = (model: CurveModel, parameters: readonly number[]): number =>
    timeOf(
      model,
      parameters,
      Math.min(justBegun, finishMargin / Math.max(finishMargin, parameters[1] as number)),
    );
  const curve = mixtureOf(fit, {
    of: finishOf,
    beside: (model, parameters) => {
      const days = finishOf(model, parameters);
      const { left, byX } = stand(model, parameters, days);
      const perDay = byX * Math.exp(parameters[3] as number);
      const tailAt = timeOf(model, parameters, tailFrom);
      const tail = tailError * Math.max(0, days - Math.max(tailAt, now));
      const ahead = aheadTimeError * Math.max(0, tailAt - now);
      const stray = strayVariance(fit.strayShare, 1, left) / (perDay * perDay);
      return { shift: 0, variance: stray + tail * tail + ahead * ahead };
    },
  });
  const fall = momentsOf(curveEnd(fit)).mean - fit.rest.terminal.value;
  const rest = restDays * Math.log(Math.max(1, fall / finishMargin));
  const { mean, variance } = momentsOf(curve);
  const joinedMean = rest > 0 ? Math.max(now, mean) + rest : mean;
  const joinedSd = Math.sqrt(variance + (restError * rest) ** 2);
  // A time ahead is off by a share of itself, so its law leans to the late side: normal in asinh, which is the
  // logarithm for times far ahead, and linear about the last reading.
  const all = joined(curve, fit.rest.share, joinedMean, joinedSd);
  const { value, low, high } = estimateOf({
    shares: all.shares,
    means: all.means.map((days) => Math.asinh((days - now) / nearDays)),
    sds: all.sds.map((sd, k) => sd / Math.hypot((all.means[k] as number) - now, nearDays)),
  });
  const at = (leaning: number): number =>
    fit.originSeconds + daySeconds * (now + nearDays * Math.sinh(leaning));
  return { value: at(value), low: at(low), high: at(high) };
};
