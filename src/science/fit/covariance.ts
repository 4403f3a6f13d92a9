/**
 * Covariance of fitted parameters from the factorised rows: τ²·(JᵀJ)⁻¹ over the parameters free to move.
 * G. A. F. Seber, C. J. Wild, Nonlinear Regression, Wiley 1989, section 2.1.2; for a robust loss τ² follows
 * P. J. Huber, Robust Statistics, Wiley 1981, section 7.6 (equation 6.5, first-order form). From memory.
 * Pure: no I/O, no clock, no randomness.
 */
import { factorise, smallestDiagonal } from './householder.ts';

/** Below this the scaled columns are taken as dependent: half the digits of a double. */
const dependent = 1e-9;

/**
 * Row-major covariance, or null where the rows cannot tell the parameters apart.
 * Destroys `rows` (column-major, `tall` rows). A held parameter gets zeros.
 */
export const covarianceOf = (
  rows: Float64Array,
  tall: number,
  held: readonly boolean[],
  variance: number,
): readonly number[] | null => {
  const columns = held.length;
  const free: number[] = [];
  for (let j = 0; j < columns; j += 1) if (held[j] !== true) free.push(j);
  const scales: number[] = [];
  for (const [k, j] of free.entries()) {
    let squares = 0;
    for (let i = 0; i < tall; i += 1) squares += (rows[j * tall + i] as number) ** 2;
    const norm = Math.sqrt(squares);
    if (!(norm > 0)) return null;
    scales.push(norm);
    for (let i = 0; i < tall; i += 1) rows[k * tall + i] = (rows[j * tall + i] as number) / norm;
  }
  const count = free.length;
  if (tall < count) return null;
  factorise(rows, new Float64Array(tall), tall, count);
  if (smallestDiagonal(rows, tall, count) < dependent) return null;
  // Columns of R⁻¹ by back substitution.
  const inverse = new Float64Array(count * count);
  for (let k = 0; k < count; k += 1) {
    for (let i = k; i >= 0; i -= 1) {
      let sum = i === k ? 1 : 0;
      for (let j = i + 1; j <= k; j += 1) {
        sum -= (rows[j * tall + i] as number) * (inverse[k * count + j] as number);
      }
      inverse[k * count + i] = sum / (rows[i * tall + i] as number);
    }
  }
  const covariance = new Array<number>(columns * columns).fill(0);
  for (const [a, row] of free.entries()) {
    for (const [b, column] of free.entries()) {
      let sum = 0;
      for (let k = Math.max(a, b); k < count; k += 1) {
        sum += (inverse[k * count + a] as number) * (inverse[k * count + b] as number);
      }
      covariance[row * columns + column] =
        (variance * sum) / ((scales[a] as number) * (scales[b] as number));
    }
  }
  return covariance;
};
