/**
 * How a fall of pressure spreads over the day: evenly over day and night, at most slowing down, or within some hours
 * of each day, the rest standing still. Each day that rests may have a fall of its own; what is compared is only when
 * in the day it happens. Pure: no I/O, no clock.
 */
import { factorise } from '../../science/fit/householder.ts';

export type FallShape = {
  /** Sum of squares about the best even fall, and about the best fall that rests. */
  readonly evenSquares: number;
  readonly restingSquares: number;
};

/** Hours of the day within which a fall that rests may happen. Chosen by us: a short evening to a long working day. */
const workingHours = [4, 9, 14] as const;

/** The day may begin at any of so many hours; finer steps change little against falls that last for hours. */
const phases = [0, 2, 4, 6, 8, 10, 12, 14, 16, 18, 20, 22] as const;

const dayHours = 24;

/** Free numbers of an even fall: its level, its slope and how it bends. */
export const evenNumbers = 3;

/** Hours rise. Needs values over at least a day. */
export const fallShape = (hours: readonly number[], values: readonly number[]): FallShape => {
  const first = hours[0] ?? 0;
  const last = hours.at(-1) ?? first;
  const days = Math.ceil((last - first) / dayHours) + 1;
  const level = values[0] ?? 0;
  const right = Float64Array.from(values, (value) => value - level);
  const resting = (phase: number, working: number): number =>
    squaresAbout(hours, right, days + 1, (hour, column) => {
      const begin = first - phase + (column - 1) * dayHours;
      return column === 0 ? 1 : Math.min(1, Math.max(0, (hour - begin) / working));
    });
  return {
    evenSquares: squaresAbout(
      hours,
      right,
      evenNumbers,
      (hour, column) => ((hour - first) / (last - first)) ** column,
    ),
    restingSquares: Math.min(
      ...workingHours.flatMap((working) => phases.map((phase) => resting(phase, working))),
    ),
  };
};

/** Sum of squares about the best sum of so many curves. */
const squaresAbout = (
  hours: readonly number[],
  values: Float64Array,
  columns: number,
  curve: (hour: number, column: number) => number,
): number => {
  // One weak row for each number, so that a day of which nothing was seen has no fall of its own.
  const rows = hours.length + columns;
  const matrix = new Float64Array(rows * columns);
  const right = new Float64Array(rows);
  right.set(values);
  for (let column = 0; column < columns; column += 1) {
    const begin = column * rows;
    for (const [row, hour] of hours.entries()) matrix[begin + row] = curve(hour, column);
    matrix[begin + hours.length + column] = tie;
  }
  factorise(matrix, right, rows, columns);
  return right.subarray(columns).reduce((sum, value) => sum + value * value, 0);
};

/** Weak enough to leave any day with a reading its fall. */
const tie = 0.001;
