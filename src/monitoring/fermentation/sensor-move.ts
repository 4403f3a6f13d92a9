/**
 * By how much a gravity sensor was moved: a smooth course through the readings of a day before a leap and of the hours
 * after it, with a step between them, fitted by least squares with Huber's loss so that foam and outliers count little.
 * The course alone explains a fall that slows down or ends, the step is what is left. Pure: no I/O, no clock.
 */
import { fitLeastSquares } from '../../science/fit/least-squares.ts';
import { huber } from '../../science/fit/loss.ts';

export type TimedPoints = { readonly hour: number; readonly value: number };

/** A move is at least this many points. Chosen by us: less is within the noise and sway of a floating sensor. */
const leastPoints = 2;

/**
 * And at least this many standard errors of the step. Chosen by us: leaps are looked for at every reading, and three
 * would find a move in every few batches that had none; more overlooks small moves of noisy sensors.
 */
const leastErrors = 5;

/** Readings on each side without which nothing is told. Chosen by us: as many as the course has bends, and one. */
const leastReadings = 5;

/** Hours that count as one in the fit, so that its columns are of one size. */
const scaleHours = 12;

/** Points that the readings rose by the move; null where they tell of none. */
export const moveSize = (
  before: readonly TimedPoints[],
  after: readonly TimedPoints[],
  leastScatter: number,
): number | null => {
  const first = after[0];
  if (first === undefined || before.length < leastReadings || after.length < leastReadings) {
    return null;
  }
  const all = [...before, ...after];
  const count = all.length;
  const columns = [0, 1, 2, 3].map((power) =>
    Float64Array.from(all, ({ hour }, index) =>
      power === 3 ? Number(index >= before.length) : ((hour - first.hour) / scaleHours) ** power,
    ),
  );
  const fit = fitLeastSquares({
    observations: Float64Array.from(all, ({ value }) => value),
    start: [before.at(-1)?.value ?? first.value, 0, 0, 0],
    evaluate: (parameters, values, jacobian) => {
      values.fill(0);
      columns.forEach((column, j) => {
        jacobian.set(column, j * count);
        for (let i = 0; i < count; i += 1) {
          values[i] = (values[i] ?? 0) + (parameters[j] ?? 0) * (column[i] ?? 0);
        }
      });
    },
    loss: huber,
    noise: { kind: 'estimated', floor: leastScatter },
    tolerance: { offset: 1e-3 },
  });
  if (!fit.ok) return null;
  const size = fit.value.parameters[3];
  const error = fit.value.standardErrors?.[3];
  if (size === undefined || error === undefined) return null;
  return Math.abs(size) >= Math.max(leastPoints, leastErrors * error) ? size : null;
};
