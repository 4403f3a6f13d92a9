/**
 * Joins points that were sent with points that are known. The same value for the same time changes
 * nothing; another value is a correction and is told with the value that it replaced.
 * Pure: no I/O, no clock.
 */
import type { Points } from './points.ts';

export type PointCorrection = {
  readonly time: number;
  readonly replaced: number;
  readonly value: number;
};

export type MergedPoints = {
  readonly points: Points;
  /** Times that were not known. */
  readonly fresh: readonly number[];
  readonly corrections: readonly PointCorrection[];
  readonly repeated: number;
};

/** `known` ascends strictly; `sent` ascends and may hold a time twice, the later one counting. */
export const mergePoints = (known: Points, sent: Points): MergedPoints => {
  const times = new Float64Array(known.times.length + sent.times.length);
  const values = new Float64Array(times.length);
  const fresh: number[] = [];
  const corrections: PointCorrection[] = [];
  let repeated = 0;
  let length = 0;
  let next = 0;
  for (let index = 0; index < sent.times.length; index += 1) {
    const time = sent.times[index] ?? 0;
    const value = sent.values[index] ?? 0;
    while (next < known.times.length && (known.times[next] ?? 0) <= time) {
      times[length] = known.times[next] ?? 0;
      values[length] = known.values[next] ?? 0;
      length += 1;
      next += 1;
    }
    if (length > 0 && times[length - 1] === time) {
      const replaced = values[length - 1] ?? 0;
      if (replaced === value) repeated += 1;
      else {
        corrections.push({ time, replaced, value });
        values[length - 1] = value;
      }
      continue;
    }
    fresh.push(time);
    times[length] = time;
    values[length] = value;
    length += 1;
  }
  times.set(known.times.subarray(next), length);
  values.set(known.values.subarray(next), length);
  length += known.times.length - next;
  return {
    points: { times: times.subarray(0, length), values: values.subarray(0, length) },
    fresh,
    corrections,
    repeated,
  };
};
