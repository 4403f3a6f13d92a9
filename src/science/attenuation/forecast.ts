/**
 * What a fit says of gravity, reading, rate and terminal gravity, each with a 90 % band: the averaged curves, how far
 * fermentations stray from curves, and the belief that the curve pauses.
 * Pure: no I/O, no clock, no randomness. Any finite time gives finite numbers.
 */

import type { Estimate } from '../estimate.ts';
import { type Answer, curveEnd, daysOf, mixtureOf, nothing, stand } from './answers.ts';
import { aheadFallError, restDays, restError, strayReach } from './beliefs.ts';
import { type CurveModel, parameterCount } from './curve-models.ts';
import { estimateOf, joined, type Mixture, momentsOf } from './mixture.ts';
import { strayVariance } from './observed.ts';
import { daySeconds } from './readings.ts';
import type { AttenuationFit } from './record.ts';

const gravityOf = (model: CurveModel, parameters: readonly number[], days: number): number =>
  (parameters[0] as number) + (parameters[1] as number) * stand(model, parameters, days).left;

/**
 * How far the fermentation strays from the curve at a time. Near the last readings, in progress, it is known from
 * them (the conditional normal law, as in kriging); further ahead it is open, and so is a share of the fall.
 */
const strayAt =
  (fit: AttenuationFit, days: number): Answer['beside'] =>
  (model, parameters, nodeSd) => {
    const fall = parameters[1] as number;
    const { left } = stand(model, parameters, days);
    const leftNow = stand(model, parameters, daysOf(fit, fit.lastSeconds)).left;
    const stray = strayVariance(fit.strayShare, fall, left);
    const strayNow = strayVariance(fit.strayShare, fall, leftNow);
    const likeness = Math.max(0, 1 - Math.abs(left - leftNow) / strayReach);
    const learnt = strayNow > 0 ? strayNow / (strayNow + fit.gap.variance) : 0;
    // A shift of more would turn the curve upwards where it fades.
    const most = (strayReach * fall) / 2;
    const gap = Math.max(-most, Math.min(most, learnt * fit.gap.value));
    const ahead = aheadFallError * fall * Math.max(0, leftNow - left);
    return {
      shift: likeness * gap,
      variance:
        stray * (1 - likeness * likeness * learnt) + (nodeSd * (1 - left)) ** 2 + ahead * ahead,
    };
  };

/** Joins to a gravity by the curve the belief that the curve pauses and falls on after the last reading. */
const withRest = (fit: AttenuationFit, curve: Mixture, days: number): Mixture => {
  const ahead = days - daysOf(fit, fit.lastSeconds);
  const { share, terminal } = fit.rest;
  if (ahead <= 0 || share === 0) return curve;
  const { mean, variance } = momentsOf(curve);
  const fall = Math.max(0, momentsOf(curveEnd(fit)).mean - terminal.value);
  const kept = Math.exp(-ahead / restDays);
  const spread =
    variance +
    ((1 - kept) * terminal.sd) ** 2 +
    ((fall * kept * ahead * restError) / restDays) ** 2;
  return joined(curve, share, mean - fall * (1 - kept), Math.sqrt(spread));
};

/** True gravity of the liquid at a time, freed of the sensor's offset. */
export const gravityAt = (fit: AttenuationFit, timeSeconds: number): Estimate => {
  const days = daysOf(fit, timeSeconds);
  const curve = mixtureOf(fit, {
    of: (model, parameters) => gravityOf(model, parameters, days),
    beside: strayAt(fit, days),
  });
  return estimateOf(withRest(fit, curve, days));
};

/** What the sensor should read at a time, its offset and drift included but not its scatter. */
export const readingAt = (fit: AttenuationFit, timeSeconds: number): Estimate => {
  const days = daysOf(fit, timeSeconds);
  const curve = mixtureOf(fit, {
    of: (model, parameters) => {
      const own = parameterCount[model];
      return (
        gravityOf(model, parameters, days) +
        (parameters[own] as number) +
        (parameters[own + 1] as number) * days
      );
    },
    beside: strayAt(fit, days),
  });
  return estimateOf(withRest(fit, curve, days));
};

/** What the sensor reads above the true gravity at a time. */
export const sensorErrorAt = (fit: AttenuationFit, timeSeconds: number): Estimate => {
  const days = daysOf(fit, timeSeconds);
  return estimateOf(
    mixtureOf(fit, {
      of: (model, parameters) => {
        const own = parameterCount[model];
        return (parameters[own] as number) + (parameters[own + 1] as number) * days;
      },
      beside: () => nothing,
    }),
  );
};

/** Specific gravity per second along the curve at a time; negative while gravity falls. */
export const rateAt = (fit: AttenuationFit, timeSeconds: number): Estimate => {
  const days = daysOf(fit, timeSeconds);
  const rateOf = (model: CurveModel, parameters: readonly number[]): number =>
    ((parameters[1] as number) *
      stand(model, parameters, days).byX *
      Math.exp(parameters[3] as number)) /
    daySeconds;
  return estimateOf(
    mixtureOf(fit, {
      of: rateOf,
      // Straying of the curve within one reach of progress bends the slope by as much.
      beside: (model, parameters) => ({
        shift: 0,
        variance: (2 * fit.strayShare * rateOf(model, parameters)) ** 2,
      }),
    }),
  );
};

/** Terminal gravity of the liquid. */
export const terminalGravity = (fit: AttenuationFit): Estimate => {
  const { share, terminal } = fit.rest;
  return estimateOf(joined(curveEnd(fit), share, terminal.value, terminal.sd));
};
