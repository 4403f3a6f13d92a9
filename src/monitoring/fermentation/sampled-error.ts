/** How far the gravity sensor reads off, measured against samples taken by hand. Pure: no I/O, no clock. */
import type { Batch } from '../batch.ts';
import { median } from '../course/median.ts';
import { scatterOf } from '../course/scatter.ts';
import { handGravitySd } from '../hand-sample.ts';
import type { GravityCourse } from './gravity-course.ts';

/** A sample is held against readings this near to it. Chosen by us: in three hours an ale falls two points at most. */
const nearHours = 3;

/** Of the newest samples, so that a sensor that drifts is followed and one careless sample is outvoted. */
const votingSamples = 3;

/** The sensor beside one sample. */
export type SampleError = {
  /** Unix seconds of the sample. */
  readonly time: number;
  /** Points that the sensor read too high. */
  readonly points: number;
  /** Points of it that the hydrometer, and the fall and scatter of the readings near the sample, may explain: two errors. */
  readonly explained: number;
};

/** One for each sample with readings near it, oldest first. */
export const sampleErrors = (
  { samples = [], startedAt }: Batch,
  course: Pick<GravityCourse, 'hours' | 'points'>,
): readonly SampleError[] =>
  samples.flatMap(({ time, gravity }): readonly SampleError[] => {
    if (gravity === null) return [];
    const hour = (time - startedAt) / 3600;
    const isNear = course.hours.map((at) => Math.abs(at - hour) <= nearHours);
    const read = readAt(
      course.hours.filter((_, index) => isNear[index]),
      course.points.filter((_, index) => isNear[index]),
      hour,
    );
    return read === null
      ? []
      : [{ time, points: read.points - (gravity - 1) * 1000, explained: read.explained }];
  });

/** So many readings tell their own fall, and so many their own scatter, which else is taken as half a point. Chosen by us. */
const fallReadings = 3;
const scatterReadings = 6;
const fewScatter = 0.5;

/** Points that a reading may have fallen between it and the sample where it stands alone; see `nearHours`. */
const fallPoints = 2;

/** What the sensor read at an hour, by a line through the medians of the earlier and the later half near it. */
const readAt = (
  hours: readonly number[],
  points: readonly number[],
  hour: number,
): { readonly points: number; readonly explained: number } | null => {
  if (points.length === 0) return null;
  const hand = 2000 * handGravitySd;
  const half = Math.floor(points.length / 2);
  const early = median(hours.slice(0, half));
  const late = median(hours.slice(-half));
  if (points.length < fallReadings || late <= early) {
    return { points: median(points), explained: hand + fallPoints };
  }
  const begun = median(points.slice(0, half));
  const slope = (median(points.slice(-half)) - begun) / (late - early);
  const scatter = points.length < scatterReadings ? fewScatter : scatterOf(points);
  const error = (1.25 * scatter) / Math.sqrt(half);
  return {
    points: begun + slope * (hour - early),
    explained: Math.hypot(hand, 2 * error),
  };
};

/** Points that the sensor reads too high; null where no sample has readings near it. */
export const sampledError = (batch: Batch, course: GravityCourse): number | null => {
  const errors = sampleErrors(batch, course);
  return errors.length === 0
    ? null
    : median(errors.slice(-votingSamples).map(({ points }) => points));
};
