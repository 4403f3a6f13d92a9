/**
 * Mean carbon dioxide in the air over the last quarter of an hour and the last eight hours, the two spans for which
 * limits are published. Kept as sums per minute and per quarter of an hour, so of constant size. Between two
 * readings the level is a straight line; after the last it is taken to stay for three hours, when the silence
 * of the sensor is an alarm of its own. Time of which nothing is known counts as outdoor air: a time-weighted
 * mean is over the whole span. Pure: no I/O, no clock.
 */
import type { Fold, Reading } from './course.ts';

type Bucket = readonly [index: number, ppmSeconds: number, seconds: number];

export type Exposure = {
  readonly last: Reading;
  readonly minutes: readonly Bucket[];
  readonly quarters: readonly Bucket[];
};

const shortSeconds = 900;
const daySeconds = 8 * 3600;
const minuteSeconds = 60;
const quarterSeconds = 900;

/** How long the last reading is taken to stay, and the longest gap that a straight line spans. */
export const holdSeconds = 3 * 3600;

/** Outdoor air. Assumption for 2026; NOAA's mean passed 420 ppm in 2023. */
const outdoorPpm = 430;

export const exposureFold: Fold<Exposure> = {
  begin: (first) => ({ last: first, minutes: [], quarters: [] }),
  extend: (before, reading) => {
    const known = reading.time - before.last.time <= holdSeconds;
    const grown = known ? reading : before.last;
    return {
      last: reading,
      minutes: kept(
        spread(before.minutes, before.last, grown, minuteSeconds, shortSeconds),
        minuteSeconds,
        reading.time - shortSeconds,
      ),
      quarters: kept(
        spread(before.quarters, before.last, grown, quarterSeconds, daySeconds),
        quarterSeconds,
        reading.time - daySeconds,
      ),
    };
  },
};

export type Means = { readonly shortPpm: number; readonly dayPpm: number };

/** The two means at a moment, the last reading held. */
export const meansAt = (exposure: Exposure, now: number): Means => {
  const time = Math.max(exposure.last.time, Math.min(now, exposure.last.time + holdSeconds));
  const held = exposureFold.extend(exposure, { time, value: exposure.last.value });
  return {
    shortPpm: mean(held.minutes, minuteSeconds, now - shortSeconds, shortSeconds),
    dayPpm: mean(held.quarters, quarterSeconds, now - daySeconds, daySeconds),
  };
};

/** The highest level that a mean may hold: of the last reading, or of any part that is kept. */
export const highestPpm = ({ last, minutes, quarters }: Exposure): number =>
  [...minutes, ...quarters].reduce(
    (most, [, ppmSeconds, seconds]) => Math.max(most, ppmSeconds / Math.max(1, seconds)),
    last.value,
  );

const spread = (
  buckets: readonly Bucket[],
  from: Reading,
  to: Reading,
  width: number,
  span: number,
): readonly Bucket[] => {
  if (to.time <= from.time) return buckets;
  const slope = (to.value - from.value) / (to.time - from.time);
  const sums = new Map(buckets.map(([index, area, seconds]) => [index, { area, seconds }]));
  let time = Math.max(from.time, to.time - span - width);
  while (time < to.time) {
    const index = Math.floor(time / width);
    const end = Math.min(to.time, (index + 1) * width);
    const middle = from.value + slope * ((time + end) / 2 - from.time);
    const sum = sums.get(index) ?? { area: 0, seconds: 0 };
    sums.set(index, {
      area: sum.area + middle * (end - time),
      seconds: sum.seconds + (end - time),
    });
    time = end;
  }
  return [...sums].map(([index, { area, seconds }]): Bucket => [index, Math.round(area), seconds]);
};

const kept = (buckets: readonly Bucket[], width: number, after: number): readonly Bucket[] =>
  buckets.filter(([index]) => (index + 1) * width > after);

const mean = (buckets: readonly Bucket[], width: number, after: number, span: number): number => {
  let area = 0;
  let known = 0;
  for (const [index, ppmSeconds, seconds] of buckets) {
    // Of a bucket that is half out of the span its share inside counts.
    const share = Math.min(1, Math.max(0, ((index + 1) * width - after) / width));
    area += share * ppmSeconds;
    known += share * seconds;
  }
  return (area + outdoorPpm * Math.max(0, span - known)) / span;
};
