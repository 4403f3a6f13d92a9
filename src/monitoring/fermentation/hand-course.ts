/**
 * The course of gravity where no sensor reads it: samples taken by hand, begun by the measured original gravity.
 * A hydrometer neither foams nor drifts, so nothing is set aside. In points of 0.001 over hours since a start.
 * Pure: no I/O, no clock.
 */
import type { Batch } from '../batch.ts';
import { handGravitySd } from '../hand-sample.ts';
import type { GravityCourse } from './gravity-course.ts';

/** A sample taken this soon stands for the original gravity by itself. Chosen by us: before yeast has begun. */
const firstHours = 1;

export const handCourse = ({ samples = [], startedAt, originalGravity }: Batch): GravityCourse => {
  const taken = samples.flatMap(({ time, gravity }) =>
    gravity === null || time < startedAt
      ? []
      : [{ hour: (time - startedAt) / 3600, points: (gravity - 1) * 1000 }],
  );
  const first = taken[0]?.hour ?? 0;
  const course =
    originalGravity === null || taken.length === 0 || first <= firstHours
      ? taken
      : [{ hour: 0, points: (originalGravity - 1) * 1000 }, ...taken];
  return {
    by: 'hand',
    hours: course.map(({ hour }) => hour),
    points: course.map(({ points }) => points),
    scatter: handGravitySd * 1000,
    unsettled: false,
    shifts: [],
  };
};
