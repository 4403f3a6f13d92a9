/**
 * What was foretold of a fermentation at a quarter, half and three quarters of its fall and at the end of the record,
 * held against what came. The moments are found with hindsight; what was said at them was said without.
 * Pure: no I/O, no clock.
 */

import { median } from '../../monitoring/course/median.ts';
import type { FermentationStatus } from '../../monitoring/status.ts';
import { curveOf, statusOf } from '../../monitoring/watch.ts';
import type { Estimate } from '../../science/estimate.ts';
import type { BacktestRecord } from './record.ts';
import { replay } from './replay.ts';
import type { Told } from './told.ts';

export type ForetoldMoment = {
  /** Share of the fall, 0.25 to 0.75; null at the end of the record. */
  readonly share: number | null;
  /** Unix seconds. */
  readonly at: number;
  readonly status: FermentationStatus;
  /** The curve at `curveTimes`, as the sensor would read it; null where there was none. */
  readonly curve: readonly Estimate[] | null;
};

export type Foretold = {
  readonly moments: readonly ForetoldMoment[];
  /** Unix seconds: the whole record in even steps. */
  readonly curveTimes: readonly number[];
  readonly came: {
    /** Gravity at the end. */
    readonly gravity: number;
    /** Noted by a person, or the sensor's, smoothed and freed of the offset that is seen in it. */
    readonly by: 'person' | 'sensor';
    /** Unix seconds at which gravity came within half a point of its end to stay. */
    readonly halfPointAt: number;
    /** Whether it stood stalled at the end: what came is then no terminal gravity. */
    readonly stalled: boolean;
    /** Points that gravity still fell in the last day: what came is then no end. */
    readonly fellInLastDay: number;
  };
};

const shares = [0.25, 0.5, 0.75] as const;
const halfPoint = 0.0005;
/** A smaller fall holds nothing to foretell. Chosen by us: the reach of foam and of a sensor that settles. */
const leastFall = 0.004;
const curveSteps = 160;

/** Null, with the reason, where there is nothing to look back on. */
export const foretoldOf = (
  record: BacktestRecord,
  { gravityByHour, status }: Told,
  finalGravity: number | null,
): Foretold | string => {
  const course = steadied(gravityByHour);
  const first = course[0];
  const last = course.at(-1);
  if (record.watched.batch?.stage !== 'fermentation') return 'The record is no fermentation.';
  if (first === undefined || last === undefined) {
    return 'Too few readings of gravity came for a present gravity.';
  }
  const start = record.watched.batch.originalGravity ?? first[1];
  const end = last[1];
  if (start - end < leastFall) {
    return `Gravity fell by ${((start - end) * 1000).toFixed(1)} points only.`;
  }
  const found = shares.flatMap((share) => {
    const at = course.find(([, gravity]) => gravity <= start - share * (start - end))?.[0];
    return at === undefined ? [] : [{ share, at }];
  });
  const wanted = [...found, { share: null, at: record.ends }];
  const curveTimes = Array.from(
    { length: curveSteps + 1 },
    (_none, step) => record.begins + ((record.ends - record.begins) * step) / curveSteps,
  );
  const moments: ForetoldMoment[] = [];
  replay(
    record,
    [...new Set(wanted.map(({ at }) => at))].toSorted((a, b) => a - b),
    {
      onTick: (state, now) => {
        const said = statusOf(record.watched, state, now).fermentation;
        if (said === null) return;
        for (const { share, at } of wanted) {
          if (at !== now) continue;
          const curve = curveOf(record.watched, state, curveTimes);
          moments.push({ share, at, status: said, curve });
        }
      },
    },
  );
  const above = course.findLastIndex(([, gravity]) => gravity > end + halfPoint);
  const dayBefore = course.find(([time]) => time >= last[0] - 86_400) ?? first;
  return {
    moments,
    curveTimes,
    came: {
      gravity: finalGravity ?? end,
      by: finalGravity === null ? 'sensor' : 'person',
      stalled: status?.fermentation?.phase === 'stalled',
      halfPointAt: course[above + 1]?.[0] ?? last[0],
      fellInLastDay: Math.max(0, (dayBefore[1] - end) * 1000),
    },
  };
};

/** Hours on each side over which a median steadies the course. Chosen by us: the span of a cellar's day and night. */
const steadyHours = 12;

/**
 * The course as hindsight sees it: the median of what lies within half a day of each hour. What was told at the time
 * wanders by more than half a point where the sensor is noisy.
 */
const steadied = (course: Told['gravityByHour']): Told['gravityByHour'] =>
  course.map(([time], index) => {
    const near = course.slice(Math.max(0, index - steadyHours), index + steadyHours + 1);
    return [time, median(near.map(([, gravity]) => gravity))] as const;
  });
