/**
 * What a fit says: gravity, reading, rate, terminal gravity and the time of finishing, each with a 90 % band.
 * Every node of every model answers; its answer is spread by the covariance of its parameters to first order
 * (Seber and Wild 1989 section 2.1.2, derivatives by central differences of a tenth of a standard deviation) and by
 * how far fermentations stray from curves; the answers are averaged by belief.
 * Pure: no I/O, no clock, no randomness. Any finite time gives finite numbers.
 */
import {
  aheadFallError,
  aheadTimeError,
  restDays,
  restError,
  strayReach,
  tailError,
} from './beliefs.ts';
import {
  type CurveModel,
  parameterCount,
  placeOf,
  type Standing,
  standAt,
} from './curve-models.ts';
import { estimateOf, joined, type Mixture, momentsOf } from './mixture.ts';
import { strayVariance } from './observed.ts';
import type { AttenuationFit, Estimate } from './record.ts';

const daySeconds = 86_400;
/** "Finished" is half a point above terminal. Common practice, no source; a larger margin finishes earlier. */
export const finishMargin = 0.0005;
/** The tail is what comes after this share is left. */
const tailFrom = 0.1;
/** A fall has begun when this share of it is left. */
const justBegun = 0.999;
/** Times nearer to the last reading than this many days are off by as much either way. Assumption. */
const nearDays = 8;

type Answer = {
  /** The answer of a curve with these parameters. */
  readonly of: (model: CurveModel, parameters: readonly number[]) => number;
  /** What comes to it from elsewhere than the parameters: a shift and further variance. */
  readonly beside: (model: CurveModel, parameters: readonly number[], nodeSd: number) => Beside;
};

type Beside = { readonly shift: number; readonly variance: number };

const nothing: Beside = { shift: 0, variance: 0 };

const mixtureOf = (fit: AttenuationFit, answer: Answer): Mixture => {
  const shares: number[] = [];
  const means: number[] = [];
  const sds: number[] = [];
  for (const { model, weight, covariance, nodeSd, nodes } of fit.models) {
    const size = Math.sqrt(covariance.length);
    const slopes = new Array<number>(size).fill(0);
    for (const { share, parameters } of nodes) {
      const moved = [...parameters];
      for (let j = 0; j < size; j += 1) {
        const step = 0.1 * Math.sqrt(covariance[j * size + j] as number);
        slopes[j] = 0;
        if (step === 0) continue;
        const own = parameters[j] as number;
        moved[j] = own + step;
        const up = answer.of(model, moved);
        moved[j] = own - step;
        const down = answer.of(model, moved);
        moved[j] = own;
        slopes[j] = (up - down) / (2 * step);
      }
      const { shift, variance: other } = answer.beside(model, parameters, nodeSd);
      let variance = other;
      for (let i = 0; i < size; i += 1) {
        for (let j = 0; j < size; j += 1) {
          variance +=
            (slopes[i] as number) * (slopes[j] as number) * (covariance[i * size + j] as number);
        }
      }
      shares.push(weight * share);
      means.push(answer.of(model, parameters) + shift);
      sds.push(Math.sqrt(Math.max(0, variance)));
    }
  }
  return { shares, means, sds };
};

const standing: Standing = { left: 1, byX: 0, byShape: 0 };

const stand = (model: CurveModel, parameters: readonly number[], days: number): Standing => {
  const rate = Math.exp(parameters[3] as number);
  const shape = parameterCount[model] === 5 ? (parameters[4] as number) : 0;
  standAt(model, rate * (days - (parameters[2] as number)), shape, standing);
  return standing;
};

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

const daysOf = (fit: AttenuationFit, timeSeconds: number): number =>
  (timeSeconds - fit.originSeconds) / daySeconds;

/** Terminal gravity by the curve seen, as if it did not pause. */
export const curveEnd = (fit: AttenuationFit): Mixture =>
  mixtureOf(fit, {
    of: (_, parameters) => parameters[0] as number,
    beside: (_model, _parameters, nodeSd) => ({ shift: 0, variance: nodeSd * nodeSd }),
  });

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
