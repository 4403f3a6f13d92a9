/**
 * Levenberg–Marquardt descent at a fixed noise scale: trust region, column scaling, bounds, priors, robust loss.
 * J. J. Moré 1978 (see trust-step.ts), sections 4 and 6: scaling by the largest column norms seen, and the update
 * of the radius. A robust loss is descended by iterated reweighting inside the same loop (Huber 1981 section 7.8):
 * rows carry the root of their weight, so the linear model has the exact gradient of the loss.
 * Bounds: a parameter on its bound whose step would leave it is held for one iteration, and steps are clipped
 * (projected Gauss–Newton, D. P. Bertsekas, Nonlinear Programming, 2nd ed. 1999, section 2.3, from memory).
 * Pure: no I/O, no clock, no randomness; works in the space it is given.
 */
import { factorise } from './householder.ts';
import type { Problem, Space } from './problem.ts';
import { assemble, isHeld, objectiveOf } from './rows.ts';
import { trustStep, trustStepSpace } from './trust-step.ts';

export type Tolerance = {
  /** Largest gradient still to go, as steps in units of the parameters' standard errors. */
  readonly offset: number;
  /** Smallest step, relative to the scaled parameters. */
  readonly step: number;
  /** Smallest relative fall of the sum of squares. */
  readonly sumOfSquares: number;
  readonly iterations: number;
};

export type Stop = 'offset' | 'step' | 'sum-of-squares' | 'exhausted' | 'bad-start';

export type Descent = {
  readonly stop: Stop;
  readonly iterations: number;
  readonly evaluations: number;
  readonly objective: number;
};

/** Share of the promised fall that must come true; Moré 1978 section 4. */
const worthAccepting = 1e-4;
/** First radius over the length of the scaled start. Smaller is safer from a poor start and slower from a good one. */
const firstRadius = 1;

/**
 * Moves `space.parameters` downhill and leaves values and derivatives there in `space`; `evaluated` says that they
 * are there already.
 */
export const descend = (
  problem: Problem,
  space: Space,
  scale: number,
  tolerance: Tolerance,
  evaluated: boolean,
): Descent => {
  const { bounds } = problem;
  const { parameters, trial, rows, right } = space;
  const columns = parameters.length;
  const tall = problem.observations.length + problem.priors.length;
  const freedom = Math.max(1, tall - columns);
  const scaling = new Float64Array(columns);
  const free = new Int32Array(columns);
  const step = new Float64Array(columns);
  const stepSpace = trustStepSpace(columns);
  if (!evaluated) problem.evaluate(parameters, space.values, space.jacobian);
  let evaluations = evaluated ? 0 : 1;
  let objective = objectiveOf(problem, space, parameters, space.values, scale);
  if (!Number.isFinite(objective))
    return { stop: 'bad-start', iterations: 0, evaluations, objective };
  let radius = 0;
  let damping = 0;
  for (let iteration = 1; iteration <= tolerance.iterations; iteration += 1) {
    const rightSquares = assemble(problem, space, scale, true);
    let count = 0;
    for (let j = 0; j < columns; j += 1) {
      if (isHeld(bounds?.[j], parameters[j] as number, rows, right, j * tall, tall)) continue;
      if (count < j) rows.copyWithin(count * tall, j * tall, (j + 1) * tall);
      free[count] = j;
      count += 1;
    }
    factorise(rows, right, tall, count);
    // Scaling columns before or after the factorisation is the same; after, only the triangle need be touched.
    for (let k = 0; k < count; k += 1) {
      const j = free[k] as number;
      let squares = 0;
      for (let i = 0; i <= k; i += 1) squares += (rows[k * tall + i] as number) ** 2;
      const norm = Math.sqrt(squares);
      if (!Number.isFinite(norm)) {
        const stop = iteration === 1 ? 'bad-start' : 'exhausted';
        return { stop, iterations: iteration, evaluations, objective };
      }
      scaling[j] = Math.max(scaling[j] as number, norm) || 1;
      const shrink = 1 / (scaling[j] as number);
      for (let i = 0; i <= k; i += 1) rows[k * tall + i] = shrink * (rows[k * tall + i] as number);
    }
    let towards = 0;
    for (let k = 0; k < count; k += 1) towards += (right[k] as number) ** 2;
    // D. M. Bates, D. G. Watts, Technometrics 23 (1981) 179: relative offset of the residual from the tangent plane.
    const across = Math.max(0, rightSquares - towards);
    if (towards * freedom <= tolerance.offset ** 2 * columns * across || towards === 0) {
      return { stop: 'offset', iterations: iteration, evaluations, objective };
    }
    let size = 0;
    for (let j = 0; j < columns; j += 1) {
      size += ((scaling[j] as number) * (parameters[j] as number)) ** 2;
    }
    size = Math.sqrt(size);
    if (radius === 0) radius = size === 0 ? firstRadius : firstRadius * size;
    for (;;) {
      damping = trustStep(rows, tall, count, right, radius, damping, stepSpace);
      trial.set(parameters);
      let length = 0;
      for (let k = 0; k < count; k += 1) {
        const j = free[k] as number;
        const bound = bounds?.[j];
        const from = parameters[j] as number;
        let to = from + (stepSpace.step[k] as number) / (scaling[j] as number);
        if (bound !== undefined) to = Math.min(bound.high, Math.max(bound.low, to));
        trial[j] = to;
        step[k] = (to - from) * (scaling[j] as number);
        length += (step[k] as number) ** 2;
      }
      length = Math.sqrt(length);
      let linearSquares = 0;
      let promised = 0;
      for (let i = 0; i < count; i += 1) {
        let image = 0;
        for (let k = i; k < count; k += 1) {
          image += (rows[k * tall + i] as number) * (step[k] as number);
        }
        linearSquares += image * image;
        promised += image * (2 * (right[i] as number) - image);
      }
      problem.evaluate(trial, space.trialValues, space.trialJacobian);
      evaluations += 1;
      const reached = objectiveOf(problem, space, trial, space.trialValues, scale);
      const fall = Number.isFinite(reached) ? objective - reached : -objective;
      const ratio = promised > 0 ? fall / promised : 0;
      if (ratio <= 0.25) {
        const descent = linearSquares + damping * length * length;
        let shrink = fall >= 0 ? 0.5 : (0.5 * descent) / (descent - 0.5 * fall);
        if (!(shrink >= 0.1)) shrink = 0.1;
        radius = shrink * Math.min(radius, 10 * length);
        damping /= shrink;
      } else if (ratio >= 0.75 || damping === 0) {
        radius = 2 * length;
        damping *= 0.5;
      }
      const accepted = ratio >= worthAccepting;
      const settled =
        Math.abs(fall) <= tolerance.sumOfSquares * objective &&
        promised <= tolerance.sumOfSquares * objective &&
        ratio <= 2;
      if (accepted) {
        parameters.set(trial);
        objective = reached;
        const { values, jacobian } = space;
        space.values = space.trialValues;
        space.jacobian = space.trialJacobian;
        space.trialValues = values;
        space.trialJacobian = jacobian;
      }
      if (settled) return { stop: 'sum-of-squares', iterations: iteration, evaluations, objective };
      // Written so that a step that is not a number ends the search as well.
      if (!(Math.min(radius, length) > tolerance.step * size)) {
        return { stop: 'step', iterations: iteration, evaluations, objective };
      }
      if (accepted) break;
    }
  }
  return { stop: 'exhausted', iterations: tolerance.iterations, evaluations, objective };
};
