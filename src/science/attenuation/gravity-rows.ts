/**
 * Gravity by a curve, for the fitter: values and analytic derivatives at many times.
 * Pure: no I/O, no clock, no randomness.
 */
import type { Evaluate } from '../fit/problem.ts';
import { type CurveModel, parameterCount, type Standing, standAt } from './curve-models.ts';

/**
 * Parameters are those of the curve, then one per column of `nuisances`, each entering linearly
 * (sensor offset and the like). `timesDays` are days since the origin.
 */
export const gravityRows = (
  model: CurveModel,
  timesDays: Float64Array,
  nuisances: readonly Float64Array[] = [],
): Evaluate => {
  const count = timesDays.length;
  const own = parameterCount[model];
  const standing: Standing = { left: 1, byX: 0, byShape: 0 };
  return (parameters, values, jacobian) => {
    const terminal = parameters[0] as number;
    const fall = parameters[1] as number;
    const place = parameters[2] as number;
    const rate = Math.exp(parameters[3] as number);
    const shape = own === 5 ? (parameters[4] as number) : 0;
    for (let i = 0; i < count; i += 1) {
      const x = rate * ((timesDays[i] as number) - place);
      standAt(model, x, shape, standing);
      values[i] = terminal + fall * standing.left;
      jacobian[i] = 1;
      jacobian[count + i] = standing.left;
      jacobian[2 * count + i] = -fall * standing.byX * rate;
      jacobian[3 * count + i] = fall * standing.byX * x;
      if (own === 5) jacobian[4 * count + i] = fall * standing.byShape;
    }
    for (let k = 0; k < nuisances.length; k += 1) {
      const column = nuisances[k] as Float64Array;
      const size = parameters[own + k] as number;
      jacobian.set(column, (own + k) * count);
      for (let i = 0; i < count; i += 1) {
        values[i] = (values[i] as number) + size * (column[i] as number);
      }
    }
  };
};
