/**
 * Start values of each model from the first curve: the same gravities, and the same times at nine tenths and at
 * one tenth of the fall left.
 * Pure: no I/O, no clock, no randomness.
 */
import { curveBeliefs } from './beliefs.ts';
import { type CurveModel, placeOf } from './curve-models.ts';
import type { FirstCurve } from './first-curve.ts';

const early = 0.9;
const late = 0.1;

export const startOf = (
  model: CurveModel,
  { parameters }: FirstCurve,
  pitchedDays: number,
): readonly number[] => {
  if (model === 'generalised-logistic') return [...parameters, 0, 0];
  const rate = Math.exp(parameters[3] as number);
  const timeOf = (left: number): number =>
    (parameters[2] as number) +
    placeOf('generalised-logistic', left, parameters[4] as number) / rate;
  const { shape } = curveBeliefs[model];
  const own = shape?.value ?? 0;
  const width = placeOf(model, late, own) - placeOf(model, early, own);
  // A thousandth of a day stands in where the first curve falls like a step.
  const ownRate = width / Math.max(1e-3, timeOf(late) - timeOf(early));
  const place = Math.max(pitchedDays, timeOf(early) - placeOf(model, early, own) / ownRate);
  return [
    ...parameters.slice(0, 2),
    place,
    Math.log(ownRate),
    ...(shape === null ? [] : [own]),
    0,
    0,
  ];
};
