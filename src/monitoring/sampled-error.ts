/**
 * How far the gravity sensor reads off, measured against samples taken by hand. Pure: no I/O, no clock.
 */
import type { Batch } from './batch.ts';
import type { GravityCourse } from './gravity-course.ts';
import { median } from './median.ts';

/** A sample is held against readings this near to it. Chosen by us: in three hours an ale falls two points at most. */
const nearHours = 3;

/** Of the newest samples, so that a sensor that drifts is followed and one careless sample is outvoted. */
const votingSamples = 3;

/** Points that the sensor reads too high; null where no sample has readings near it. */
export const sampledError = (
  { samples = [], startedAt }: Batch,
  course: GravityCourse,
): number | null => {
  const errors = samples.flatMap(({ time, gravity }) => {
    if (gravity === null) return [];
    const hour = (time - startedAt) / 3600;
    const near = course.points.filter(
      (_, index) => Math.abs((course.hours[index] ?? Number.NaN) - hour) <= nearHours,
    );
    return near.length === 0 ? [] : [median(near) - (gravity - 1) * 1000];
  });
  return errors.length === 0 ? null : median(errors.slice(-votingSamples));
};
