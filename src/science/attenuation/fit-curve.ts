/**
 * One curve through one series by plain least squares, as the literature fits it: no beliefs, no sensor, any units.
 * This is the regression of ASBC Yeast-14 and of Speers, Rogers and Smith 2003 with start values found from the
 * data; for a forecast with an honest band use `fitAttenuation`.
 * Pure: no I/O, no clock, no randomness.
 */
import { fail, ok, type Result } from '../../result.ts';
import { fitLeastSquares, type LeastSquaresFit } from '../fit/least-squares.ts';
import type { Loss } from '../fit/loss.ts';
import type { FitFault } from '../fit/request.ts';
import { binMedians, binsOf } from './bins.ts';
import { type CurveModel, parameterCount, placeOf } from './curve-models.ts';
import { gravityRows } from './gravity-rows.ts';

export type CurveFitOptions = {
  /** Plain squares where absent. */
  readonly loss?: Loss;
  readonly weights?: Float64Array | null;
};

/** A parameter with its standard error; null where the data cannot tell. */
type Fitted = { readonly value: number; readonly standardError: number | null };

export type CurveFit = {
  readonly model: CurveModel;
  readonly terminal: Fitted;
  readonly initial: Fitted;
  /** Midpoint, inflection or end of the lag, in the unit of the times. */
  readonly place: Fitted;
  /** Per unit of time. */
  readonly rate: Fitted;
  /** ν of the generalised logistic, k of the lagged curve; null for the logistic. */
  readonly shape: Fitted | null;
  readonly residualSumOfSquares: number;
  readonly noiseSd: number;
  /** Akaike's criterion for small samples, of squared residuals; to compare models on the same series. */
  readonly aicc: number | null;
  readonly iterations: number;
};

export type CurveFitFault =
  | { readonly kind: 'lengths-differ'; readonly times: number; readonly values: number }
  | { readonly kind: 'not-falling'; readonly first: number; readonly last: number }
  | FitFault;

/** Shares of the fall left between which the start's rate is read off. */
const early = 0.8;
const late = 0.2;
const firstShape = { logistic: 0, 'generalised-logistic': 0.5, lagged: 0.45 } as const;
/** No bound; the shape alone is kept where its curve can be told from a step or an exponential. */
const open = { low: -1e300, high: 1e300 };
/** Ten-millionths of a standard error: the digits that literature prints are then the data's own. */
const tolerance = { offset: 1e-7 };

const crossing = (times: Float64Array, values: Float64Array, level: number): number => {
  for (let k = 1; k < times.length; k += 1) {
    const before = values[k - 1] as number;
    const own = values[k] as number;
    if (before > level && own <= level) {
      const share = (before - level) / (before - own);
      return (times[k - 1] as number) + share * ((times[k] as number) - (times[k - 1] as number));
    }
  }
  const last = times.length - 1;
  return (values[0] as number) <= level ? (times[0] as number) : (times[last] as number);
};

const startsFor = (
  model: CurveModel,
  times: Float64Array,
  values: Float64Array,
): readonly (readonly number[])[] => {
  const top = Math.max(...values.subarray(0, Math.max(1, values.length >> 2)));
  const bottom = Math.min(...values);
  const span = (times[times.length - 1] as number) - (times[0] as number);
  const shape = firstShape[model];
  // The second start serves where the first fails: a record that ends early hides part of the fall.
  return [0.02, 0.5].map((hidden) => {
    const terminal = bottom - hidden * (top - bottom);
    const fall = top - terminal;
    const from = crossing(times, values, terminal + early * fall);
    const to = Math.max(from + span / 50, crossing(times, values, terminal + late * fall));
    const rate = (placeOf(model, late, shape) - placeOf(model, early, shape)) / (to - from);
    const place = from - placeOf(model, early, shape) / rate;
    const own = [terminal, fall, place, Math.log(rate)];
    return parameterCount[model] === 5 ? [...own, shape] : own;
  });
};

/** Fits one model; times ascend, values fall. */
export const fitCurve = (
  model: CurveModel,
  times: Float64Array,
  values: Float64Array,
  options: CurveFitOptions = {},
): Result<CurveFit, CurveFitFault> => {
  if (times.length !== values.length) {
    return fail({ kind: 'lengths-differ', times: times.length, values: values.length });
  }
  const needed = parameterCount[model];
  if (times.length <= needed) {
    return fail({ kind: 'too-few-observations', observations: times.length, parameters: needed });
  }
  for (const time of times) {
    if (!Number.isFinite(time)) return fail({ kind: 'bad-input', field: 'times', value: null });
  }
  const rough = binMedians(binsOf(times), times, values);
  const first = rough.medians[0] as number;
  const last = rough.medians[rough.medians.length - 1] as number;
  if (!(first > last)) return fail({ kind: 'not-falling', first, last });
  const evaluate = gravityRows(model, times);
  const shapes = model === 'lagged' ? { low: 0, high: 3 } : { low: -5, high: 7 };
  const bounds = [open, open, open, open, shapes].slice(0, needed);
  let fault: FitFault = { kind: 'bad-start', start: [] };
  for (const start of startsFor(model, rough.times, rough.medians)) {
    const result = fitLeastSquares({
      observations: values,
      evaluate,
      start,
      bounds,
      weights: options.weights ?? null,
      loss: options.loss ?? { kind: 'squares' },
      tolerance,
    });
    if (result.ok) return ok(described(model, result.value, values.length));
    fault = result.fault;
  }
  return fail(fault);
};

const described = (model: CurveModel, fit: LeastSquaresFit, count: number): CurveFit => {
  const { parameters, covariance, standardErrors, residualSumOfSquares } = fit;
  const size = parameters.length;
  const at = (index: number): number => parameters[index] as number;
  const plain = (index: number): Fitted => ({
    value: at(index),
    standardError: standardErrors?.[index] ?? null,
  });
  const exponential = (index: number): Fitted => {
    const value = Math.exp(at(index));
    const error = standardErrors?.[index];
    return { value, standardError: error === undefined ? null : value * error };
  };
  const variance = (i: number, j: number): number => covariance?.[i * size + j] ?? 0;
  const initialVariance = variance(0, 0) + 2 * variance(0, 1) + variance(1, 1);
  const unknowns = size + 1;
  const room = count - unknowns - 1;
  return {
    model,
    terminal: plain(0),
    initial: {
      value: at(0) + at(1),
      standardError: covariance === null ? null : Math.sqrt(Math.max(0, initialVariance)),
    },
    place: plain(2),
    rate: exponential(3),
    shape: size === 5 ? exponential(4) : null,
    residualSumOfSquares,
    noiseSd: fit.noiseSd,
    // Hurvich and Tsai 1989; the noise counts as a parameter (Burnham and Anderson 2002 section 2.2).
    aicc:
      room > 0 && residualSumOfSquares > 0
        ? count * Math.log(residualSumOfSquares / count) +
          2 * unknowns +
          (2 * unknowns * (unknowns + 1)) / room
        : null,
    iterations: fit.iterations,
  };
};
