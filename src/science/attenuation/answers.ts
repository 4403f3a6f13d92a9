/**
 * One answer from a fit. Every node of every model answers; its answer is spread by the covariance of its parameters
 * to first order (Seber and Wild 1989 section 2.1.2, derivatives by central differences of a tenth of a standard
 * deviation); the answers are averaged by belief.
 * Pure: no I/O, no clock, no randomness.
 */
import { type CurveModel, parameterCount, type Standing, standAt } from './curve-models.ts';
import type { Mixture } from './mixture.ts';
import { daySeconds } from './readings.ts';
import type { AttenuationFit } from './record.ts';

export type Answer = {
  /** The answer of a curve with these parameters. */
  readonly of: (model: CurveModel, parameters: readonly number[]) => number;
  /** What comes to it from elsewhere than the parameters: a shift and further variance. */
  readonly beside: (model: CurveModel, parameters: readonly number[], nodeSd: number) => Beside;
};

export type Beside = { readonly shift: number; readonly variance: number };

export const nothing: Beside = { shift: 0, variance: 0 };

export const mixtureOf = (fit: AttenuationFit, answer: Answer): Mixture => {
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

export const stand = (model: CurveModel, parameters: readonly number[], days: number): Standing => {
  const rate = Math.exp(parameters[3] as number);
  const shape = parameterCount[model] === 5 ? (parameters[4] as number) : 0;
  standAt(model, rate * (days - (parameters[2] as number)), shape, standing);
  return standing;
};

export const daysOf = (fit: AttenuationFit, timeSeconds: number): number =>
  (timeSeconds - fit.originSeconds) / daySeconds;

/** Terminal gravity by the curve seen, as if it did not pause. */
export const curveEnd = (fit: AttenuationFit): Mixture =>
  mixtureOf(fit, {
    of: (_, parameters) => parameters[0] as number,
    beside: (_model, _parameters, nodeSd) => ({ shift: 0, variance: nodeSd * nodeSd }),
  });
