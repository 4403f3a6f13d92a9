/**
 * One Levenberg–Marquardt step: the least-squares step confined to a ball, and the damping that confines it.
 * J. J. Moré, The Levenberg–Marquardt algorithm: implementation and theory, in G. A. Watson (ed.),
 * Numerical Analysis, Lecture Notes in Mathematics 630, Springer 1978, section 5 (algorithm 5.5 for the damping).
 * The variables are scaled already (step times column scale), so the ball is round.
 * Pure: no I/O, no clock, no randomness; writes only into the work space it is given.
 */
import { backSubstitute, factorise, forwardSubstitute, smallestDiagonal } from './householder.ts';

export type TrustStepSpace = {
  /** The step, the answer. */
  readonly step: Float64Array;
  readonly augmented: Float64Array;
  readonly right: Float64Array;
  readonly scratch: Float64Array;
};

export const trustStepSpace = (columns: number): TrustStepSpace => ({
  step: new Float64Array(columns),
  augmented: new Float64Array(2 * columns * columns),
  right: new Float64Array(2 * columns),
  scratch: new Float64Array(columns),
});

/** Moré 1978 section 5: the step may miss the radius by a tenth; tighter costs factorisations for nothing. */
const radiusSlack = 0.1;
/** A ratio below this makes a triangle numerically singular for scaled columns; about 50 roundings. */
const singular = 1e-14;
/** Moré 1978 reports two factorisations on average; ten bound the work of a bad case. */
const mostTrials = 10;
/** Moré 1978: a damping that stands in for zero, as a share of the highest sensible one. */
const smallShare = 0.001;

const length = (vector: Float64Array, count: number): number => {
  let squares = 0;
  for (let k = 0; k < count; k += 1) squares += (vector[k] as number) ** 2;
  return Math.sqrt(squares);
};

const damped = (
  triangle: Float64Array,
  rows: number,
  columns: number,
  right: Float64Array,
  damping: number,
  space: TrustStepSpace,
): void => {
  const tall = 2 * columns;
  const { augmented } = space;
  augmented.fill(0, 0, tall * columns);
  space.right.fill(0, 0, tall);
  const root = Math.sqrt(damping);
  for (let j = 0; j < columns; j += 1) {
    for (let i = 0; i <= j; i += 1) augmented[j * tall + i] = triangle[j * rows + i] as number;
    augmented[j * tall + columns + j] = root;
    space.right[j] = right[j] as number;
  }
  factorise(augmented, space.right, tall, columns);
  backSubstitute(augmented, space.right, tall, columns, space.step);
};

/**
 * Finds the step of length at most `radius` that lowers |R·step − right| most; leaves it in `space.step`.
 * `triangle` holds R in its upper triangle (column-major with `rows` rows). Returns the damping used,
 * 0 for the undamped Gauss–Newton step.
 */
export const trustStep = (
  triangle: Float64Array,
  rows: number,
  columns: number,
  right: Float64Array,
  radius: number,
  dampingBefore: number,
  space: TrustStepSpace,
): number => {
  const { step, scratch, augmented } = space;
  const tall = 2 * columns;
  let low = 0;
  let excess = 0;
  if (smallestDiagonal(triangle, rows, columns) > singular) {
    backSubstitute(triangle, right, rows, columns, step);
    const size = length(step, columns);
    excess = size - radius;
    if (excess <= radiusSlack * radius) return 0;
    forwardSubstitute(triangle, step, rows, columns, scratch);
    const slope = length(scratch, columns) ** 2 / size;
    low = (excess / radius) * (size / slope);
  }
  let gradientSquares = 0;
  for (let j = 0; j < columns; j += 1) {
    let sum = 0;
    for (let i = 0; i <= j; i += 1) {
      sum += (triangle[j * rows + i] as number) * (right[i] as number);
    }
    gradientSquares += sum * sum;
  }
  const gradient = Math.sqrt(gradientSquares);
  if (gradient === 0) {
    step.fill(0, 0, columns);
    return 0;
  }
  let high = gradient / radius;
  let damping = Math.min(Math.max(dampingBefore, low), high);
  if (damping === 0) damping = Math.max(smallShare * high, Math.sqrt(low * high));
  for (let trial = 1; ; trial += 1) {
    damped(triangle, rows, columns, right, damping, space);
    const size = length(step, columns);
    const excessBefore = excess;
    excess = size - radius;
    const close = Math.abs(excess) <= radiusSlack * radius;
    const shortAtZero = low === 0 && excess <= excessBefore && excessBefore < 0;
    if (close || shortAtZero || trial === mostTrials) return damping;
    forwardSubstitute(augmented, step, tall, columns, scratch);
    const slope = length(scratch, columns) ** 2 / size;
    if (excess > 0) low = Math.max(low, damping);
    else high = Math.min(high, damping);
    // Newton on the reciprocal of the length, which is nearly linear in the damping (Moré 1978 section 5).
    damping = Math.max(low, damping + (excess / radius) * (size / slope));
    // Zero would ask a singular triangle for its undamped step.
    if (!(damping > 0)) damping = smallShare * high;
  }
};
