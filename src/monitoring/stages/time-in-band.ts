/**
 * How long a temperature has been inside its band, all stretches together: the clock of a mash rest and of a boil.
 * Between two readings temperature is a straight line; after the last it is taken to stay, and before the first
 * it is taken to have stood there since the stage began. Pure: no I/O, no clock.
 */
import type { Fold, Reading } from './course.ts';

export type TimeInBand = {
  readonly last: Reading;
  readonly insideSeconds: number;
  /** Unix seconds since which it has been outside without a break; null inside. */
  readonly outsideSince: number | null;
  /** Whether it has ever been inside. */
  readonly wasInside: boolean;
};

export type Bounds = { readonly low: number; readonly high: number };

export const timeInBand = (bounds: Bounds, since: number): Fold<TimeInBand> => {
  const inside = (value: number): boolean => value >= bounds.low && value <= bounds.high;
  const extend = (before: TimeInBand, reading: Reading): TimeInBand => {
    const { from, to } = partInside(before.last, reading, bounds);
    const isIn = inside(reading.value);
    return {
      last: reading,
      insideSeconds: before.insideSeconds + (to - from),
      outsideSince: isIn ? null : to > from ? to : (before.outsideSince ?? before.last.time),
      wasInside: before.wasInside || to > from || isIn,
    };
  };
  return {
    begin: (first) => {
      const start = { ...first, time: Math.min(since, first.time) };
      const isIn = inside(first.value);
      return extend(
        {
          last: start,
          insideSeconds: 0,
          outsideSince: isIn ? null : start.time,
          wasInside: isIn,
        },
        first,
      );
    },
    extend,
  };
};

/** Unix seconds at which so much time inside is reached if nothing changes; null while it is outside. */
export const reachedAt = (course: TimeInBand, wantedSeconds: number): number | null =>
  course.outsideSince === null
    ? Math.ceil(course.last.time + wantedSeconds - course.insideSeconds)
    : course.insideSeconds >= wantedSeconds
      ? Math.ceil(course.last.time)
      : null;

export const insideSecondsAt = (course: TimeInBand, now: number): number =>
  course.insideSeconds + (course.outsideSince === null ? Math.max(0, now - course.last.time) : 0);

/** The stretch of a straight line that lies inside; empty where none does. */
const partInside = (
  before: Reading,
  after: Reading,
  { low, high }: Bounds,
): { readonly from: number; readonly to: number } => {
  const span = after.time - before.time;
  const rise = after.value - before.value;
  const empty = { from: before.time, to: before.time };
  if (span <= 0) return empty;
  if (rise === 0) {
    return before.value >= low && before.value <= high
      ? { from: before.time, to: after.time }
      : empty;
  }
  const at = (value: number): number => before.time + (span * (value - before.value)) / rise;
  const crossings = [at(low), at(high)].sort((one, other) => one - other);
  const from = Math.max(before.time, crossings[0] ?? before.time);
  const to = Math.min(after.time, crossings[1] ?? before.time);
  return to > from ? { from, to } : empty;
};
