/**
 * Whether a fermentation was at work before a moment, by its gravity alone. Asked when a temperature has fallen since
 * then: what the cold does to the yeast, and to the float, comes later and does not count. Pure: no I/O, no clock.
 */
import type { Batch } from '../batch.ts';
import { median } from '../course/median.ts';
import { trend } from '../course/trend.ts';
import type { GravityCourse } from '../fermentation/gravity-course.ts';
import { terminalBelief } from '../fermentation/terminal-belief.ts';

export type WorkBefore = {
  readonly atWork: boolean;
  /** Points that gravity had fallen, points a day by which it was falling, and over how many hours that was seen. */
  readonly fallen: number;
  readonly fallPerDay: number;
  readonly overHours: number;
};

/** Readings this recent tell, and so many of them make a line. Chosen by us. */
const tellingHours = 40;
const manyRows = 6;

/** They span this many hours at least. Chosen by us: noise makes a slope of less. */
const leastSpanHours = 10;

/**
 * Points that must have fallen. Chosen by us: before, a drink that cools is wort on its way to pitching temperature.
 */
const begunPoints = 2;

/**
 * Points a day that must surely have been falling. Chosen by us: twice what a drifting float feigns. A brewer cools a
 * drink that falls by less; a smaller number alarms on planned crashes.
 */
const workPointsPerDay = 1;

/** The same for a drink that is surely above its terminal: slow, but no standstill that a brewer may take for the end. */
const slowWorkPointsPerDay = 0.2;

/** Scatter believed of readings too few to show it: half a point. Assumption. */
const sparseScatter = 0.5;
const scatterFloor = 0.1;

/** The error of a sensor whose offset nobody measured, in points, as stall.ts assumes. */
const sensorSd = 1.5;

/** How many errors the terminal must lie below for a drink to be surely unfinished. Chosen by us. */
const unfinishedErrors = 2;

/** Null where too few readings tell. */
export const workBefore = (
  batch: Batch,
  course: GravityCourse,
  timeSeconds: number,
): WorkBefore | null => {
  const until = (timeSeconds - batch.startedAt) / 3600;
  const count = course.hours.findLastIndex((hour) => hour <= until) + 1;
  const hours = course.hours.slice(0, count);
  const points = course.points.slice(0, count);
  const measured = batch.originalGravity === null ? null : (batch.originalGravity - 1) * 1000;
  const line = lineBefore(hours, points, until, course.scatter, measured);
  if (line === null) return null;
  const begun = median(points.slice(0, Math.min(9, Math.ceil(count / 4))));
  const fallen = Math.max(begun, measured ?? begun) - line.level;
  const belief = terminalBelief(batch, measured ?? begun);
  const offset = measured === null ? 0 : begun - measured;
  const unfinished =
    belief !== null &&
    line.level - belief.points - offset > unfinishedErrors * Math.hypot(belief.sd, sensorSd);
  const surely = (line.fall - line.fallError) * 24;
  return {
    atWork: fallen > begunPoints && surely > (unfinished ? slowWorkPointsPerDay : workPointsPerDay),
    fallen,
    fallPerDay: Math.max(0, line.fall * 24),
    overHours: line.spanHours,
  };
};

type Line = {
  readonly level: number;
  /** Points per hour. */
  readonly fall: number;
  readonly fallError: number;
  readonly spanHours: number;
};

const lineBefore = (
  hours: readonly number[],
  points: readonly number[],
  until: number,
  scatter: number,
  measured: number | null,
): Line | null => {
  const ends = hours.at(-1);
  const level = points.at(-1);
  if (ends === undefined || level === undefined || ends < until - tellingHours) return null;
  const from = hours.findIndex((hour) => hour >= until - tellingHours);
  if (hours.length - from >= manyRows && ends - (hours[from] ?? ends) >= leastSpanHours) {
    const floor = Math.max(scatterFloor, 0.6 * scatter);
    const line = trend(hours.slice(from), points.slice(from), floor);
    if (line !== null) {
      const { slope, slopeError, spanHours } = line;
      return { level: line.level, fall: -slope, fallError: slopeError, spanHours };
    }
  }
  // Few readings: the newest against one before it, or against the original gravity.
  const first = hours.findLastIndex((hour) => hour <= ends - leastSpanHours);
  const begins = hours[first] ?? (measured === null ? undefined : 0);
  const before = points[first] ?? measured;
  if (begins === undefined || before === null || ends - begins < leastSpanHours) return null;
  const spanHours = ends - begins;
  const error = first < 0 ? Math.hypot(sparseScatter, sensorSd) : sparseScatter * Math.SQRT2;
  return { level, fall: (before - level) / spanHours, fallError: error / spanHours, spanHours };
};
