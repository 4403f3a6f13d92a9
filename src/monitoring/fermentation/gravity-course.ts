/**
 * The course of gravity freed of what cannot be fermentation: foam and bubbles that pass, lone outliers, and a
 * sensor that was moved. In points of 0.001 over hours since a start.
 *
 * Gravity falls, slowly; it does not leap. A reading that leaps is held back until later ones say what it was:
 * if they come back to the course it was an excursion and is set aside, if they stay it was a moved sensor and
 * the readings after it are shifted. Until that is known the end of the course is unsettled.
 * Pure: no I/O, no clock.
 */
import { type ChronicleRow, heardIn, middleOf } from '../course/chronicle.ts';
import { median } from '../course/median.ts';
import { scatterOf } from '../course/scatter.ts';
import { moveSize, type TimedPoints } from './sensor-move.ts';

/** A moved sensor: Unix seconds, and by how many points its readings rose. */
export type Shift = readonly [at: number, points: number];

/** Unix seconds, from and to, between which the sensor was frozen. */
export type Span = readonly [from: number, to: number];

export type GravityCourse = {
  /** Read by a sensor, or from samples taken by hand where there is none. */
  readonly by: 'sensor' | 'hand';
  readonly hours: readonly number[];
  /** Points above 1.000 as read, shifts taken out. */
  readonly points: readonly number[];
  /** Robust standard deviation of one row about its neighbours. */
  readonly scatter: number;
  /** True while the newest readings leap and nobody can say yet what they mean. */
  readonly unsettled: boolean;
  readonly shifts: readonly Shift[];
};

/** The resolution of an ordinary float, a tenth of a point. */
const leastScatter = 0.1;

/** A leap is at least this many points. Chosen by us: less is within the noise and sway of a floating sensor. */
const leapPoints = 2.2;

/**
 * A leap is at least this many times the scatter. Chosen by us: one good reading in 700 passes it, which costs
 * nothing, since the next one clears it; a greater number overlooks sensors that were moved a little.
 */
const leapScatters = 3.2;

/** The fastest true fall, points per hour. Assumption: twice what a lively ale of 1.070 does. */
const fastestFall = 4;

/** Hours over which the fall just before is taken. Chosen by us: shorter, and noise alone feigns a lively fall. */
const fallHours = 16;

/** Rows that say where the course stood just before. Chosen by us: more lag behind a lively fall. */
const nearRows = 5;

/** A fall may quicken to this at any time in the first days, and to this later on, points per hour. Chosen by us. */
const livelyFall = 1.5;
const calmFall = 0.3;

/** A fall is carried on for this many hours where readings are held back: it may end at any time. Chosen by us. */
const believedHours = 3;

/** How long readings must stay away before a leap counts as a moved sensor; foam passes within half a day. */
const stayHours = 16;
const stayRows = 5;

/** The line that readings are held against, to tell a move, begins so long before. Chosen by us: foam is shorter. */
const beforeHours = 24;

/** A drop of more points is gravity that fell while the sensor was frozen or silent, not a moved sensor. Chosen by us. */
const farthestDrop = 12;

/** Foam rises in the first days. Common practice, no source. */
const foamHours = 100;

/** A leap is looked at while its rows are fine, see chronicle.ts. */
const healHours = 50;

/** Shifts remembered; a sensor that is moved oftener tells nothing. */
const shiftsKept = 8;

export const gravityCourse = (
  rows: readonly ChronicleRow[],
  start: number,
  known: readonly Shift[],
  frozen: readonly Span[],
): GravityCourse => {
  const hours: number[] = [];
  const points: number[] = [];
  const shifts = [...known];
  const heard: TimedPoints[] = [];
  for (const row of rows) {
    const gravity = heardIn(row, 'gravity');
    const at = middleOf(row);
    if (gravity === null || at < start || frozen.some(([from, to]) => at >= from && at <= to))
      continue;
    heard.push({ hour: (at - start) / 3600, value: (gravity - 1) * 1000 });
  }
  const scatter = Math.max(leastScatter, scatterOf(heard.map(({ value }) => value)));
  const leap = Math.max(leapPoints, leapScatters * scatter);
  const shiftOf = (hour: number): number =>
    shifts.reduce((sum, [at, size]) => (hour * 3600 + start >= at ? sum + size : sum), 0);

  let unsettled = false;
  const newest = heard.at(-1)?.hour ?? 0;
  for (let index = 0; index < heard.length; index += 1) {
    const here = heard[index];
    if (here === undefined) break;
    const value = here.value - shiftOf(here.hour);
    const course = latest(hours, points);
    if (course === null || follows(course, here.hour, value, leap)) {
      hours.push(here.hour);
      points.push(value);
      continue;
    }
    // Look ahead: does the course come back, or does it stay where it leapt to?
    const read: TimedPoints[] = [];
    let back = -1;
    let stayed = 0;
    for (let next = index; next < heard.length; next += 1) {
      const there = heard[next];
      if (there === undefined) break;
      const later = there.value - shiftOf(there.hour);
      const leapt = value - expected(course, here.hour);
      if (
        follows(course, there.hour, later, leap) &&
        returns(course, there.hour, later, read, leapt, scatter)
      ) {
        back = next;
        break;
      }
      read.push({ hour: there.hour, value: later });
      stayed = there.hour - here.hour;
      if (stayed >= stayHours && read.length >= stayRows) break;
    }
    if (back >= 0) {
      index = back - 1;
      continue;
    }
    if (stayed < stayHours || read.length < stayRows) {
      unsettled = true;
      break;
    }
    const size = newest - here.hour > healHours ? null : moved(heard, index, stayed, shiftOf);
    if (size === null || (size < 0 && (here.hour < foamHours || size < -farthestDrop))) {
      // Seen over a day, the readings did not leap; or rows that were merged long after tell no leap from a fall; or
      // where foam is about, a drop is more likely the foam's end than a moved sensor. All are taken as true.
      hours.push(here.hour);
      points.push(value);
      continue;
    }
    shifts.push([Math.floor(here.hour * 3600 + start), Number(size.toFixed(2))]);
    // The reading that leapt is left out: it may itself be half foam. The next one is judged shifted.
  }
  return { by: 'sensor', hours, points, scatter, unsettled, shifts: shifts.slice(-shiftsKept) };
};

/** By how much the readings leapt at one of them, seen over the day before and the hours after; null if they did not. */
const moved = (
  heard: readonly TimedPoints[],
  index: number,
  stayed: number,
  shiftOf: (hour: number) => number,
): number | null => {
  const at = heard[index]?.hour ?? 0;
  const between = (from: number, to: number): readonly TimedPoints[] =>
    heard.flatMap(({ hour, value }) =>
      hour >= from && hour < to ? [{ hour, value: value - shiftOf(hour) }] : [],
    );
  return moveSize(between(at - beforeHours, at), between(at, at + stayed + 1e-6), leastScatter);
};

/** Where the course stood, and how fast it fell, just before. */
type Latest = { readonly hour: number; readonly points: number; readonly fall: number };

const latest = (hours: readonly number[], points: readonly number[]): Latest | null => {
  if (points.length < 3) return null;
  const end = hours.at(-1) ?? 0;
  const rows = Math.max(3, hours.slice(-nearRows).filter((hour) => hour > end - nearHours).length);
  const near = median(points.slice(-rows));
  const hour = median(hours.slice(-rows));
  const from = hours.findIndex((at) => at > end - fallHours);
  const third = Math.floor((points.length - from) / 3);
  let fall = 0;
  if (third >= 2) {
    const span = median(hours.slice(-third)) - median(hours.slice(from, from + third));
    fall = (median(points.slice(from, from + third)) - median(points.slice(-third))) / span;
  }
  return { hour, points: near, fall: Math.min(fastestFall, Math.max(0, fall)) };
};

/** Rows that lie further back say nothing of where the course stood just before. Chosen by us. */
const nearHours = 6;

/** The course carried on for a while. */
const expected = ({ hour, points, fall }: Latest, at: number): number =>
  points - fall * Math.min(believedHours, at - hour);

/** A rise is never true; a fall is true as far as yeast can have fallen in the time. */
const follows = (course: Latest, at: number, value: number, leap: number): boolean => {
  const since = Math.max(0, at - course.hour);
  const lively = at < foamHours ? livelyFall : calmFall;
  const seen = Math.min(since, nearHours / 2);
  const least =
    course.points -
    leap -
    Math.max(lively, 2 * course.fall) * seen -
    Math.max(livelyFall, 2 * course.fall) * (since - seen);
  return value <= course.points + leap && value >= least;
};

/**
 * Whether a reading that follows the course again has come back to it. While the course falls fast, a moved sensor
 * crosses it in a few hours, reading as calmly as before; then only a leap back is a return. Foam is not calm.
 */
const returns = (
  course: Latest,
  at: number,
  value: number,
  read: readonly TimedPoints[],
  leapt: number,
  scatter: number,
): boolean => {
  const fallen = course.fall * (at - course.hour);
  if (leapt < 0 || read.length === 0 || 2 * fallen + 1 < 0.5 * leapt) return true;
  const values = read.map((row) => row.value);
  if (scatterOf(values) > foamScatters * scatter) return true;
  return median(values.slice(-2)) - value >= 0.5 * leapt;
};

/** Foam makes readings scatter by so much more than before. Chosen by us. */
const foamScatters = 3.2;
