/**
 * What the chronicle shows of a fermentation at a moment: level, fall, greatest rate, gas and temperature, each
 * as a number that the stall and finish detectors compare. Gravities in points of 0.001, hours since the
 * batch began. Pure: no I/O, no clock.
 */
import type { Batch } from '../batch.ts';
import { type ChronicleRow, heardIn, middleOf } from '../course/chronicle.ts';
import { median } from '../course/median.ts';
import { scatterOf } from '../course/scatter.ts';
import { type Trend, trend } from '../course/trend.ts';
import type { FermentationMemory } from './fermentation-memory.ts';
import { type GravityCourse, gravityCourse } from './gravity-course.ts';
import { handCourse } from './hand-course.ts';
import { type PointsBelief, terminalBelief } from './terminal-belief.ts';

export type FermentationSigns = {
  readonly course: GravityCourse;
  /** Hour of the newest reading on the course. */
  readonly hour: number;
  /** Points of the original gravity as this sensor reads it. */
  readonly original: number;
  /** What the sensor reads above the truth, from the first readings against the measured original. */
  readonly offset: number;
  readonly offsetSd: number;
  /** Smoothed present points as read. */
  readonly level: number;
  readonly fallen: number;
  /** Greatest fall per hour held over half a day. */
  readonly peakRate: number;
  /** Greatest share of the distance to terminal that was fermented in an hour, held over half a day. */
  readonly peakPace: number;
  /** Trends over the last so many hours, shortest first. */
  readonly trends: readonly { readonly window: number; readonly trend: Trend }[];
  /** Terminal points as this sensor would read them; null where nothing is known. */
  readonly terminal: PointsBelief | null;
  /** Gas leaving, as a share of the most seen; null without a usable gas channel. */
  readonly gasShare: number | null;
  readonly temperature: TemperatureSigns | null;
};

type TemperatureSigns = {
  readonly now: number;
  /** The warmest and coldest six-hour medians of the active time up to two days ago and of the last day. */
  readonly usual: number;
  readonly fallenBy: number;
};

const windowsHours = [8, 12, 18, 24, 36, 52, 80, 104] as const;

/** The least scatter believed of a row: the resolution of an ordinary float is a tenth of a point. */
const scatterFloor = 0.1;

/** Points above the expected terminal under which no pace is taken. Chosen by us: twice the belief's error. */
const paceDistance = 7;

/** Points a day by which a float's reading drifts, as a standard deviation. Assumption, from the sample's labels. */
const driftSdPerDay = 0.09;

/** Rows before anything is said; one a day and samples need fewer, since each is believed. Chosen by us. */
const leastRows = 4;
const leastSparseRows = 3;

/** Within this long after pitching the readings stand for the original gravity. Chosen by us. */
const originalHours = 8;

export const fermentationSigns = (
  batch: Batch,
  rows: readonly ChronicleRow[],
  memory: FermentationMemory,
): { readonly signs: FermentationSigns | null; readonly memory: FermentationMemory } => {
  const byHand = rows.every((row) => heardIn(row, 'gravity') === null);
  const course = byHand
    ? handCourse(batch)
    : gravityCourse(rows, batch.startedAt, memory.shifts, memory.frozen);
  const hour = course.hours.at(-1);
  if (
    hour === undefined ||
    course.hours.length < (isSparse(course) ? leastSparseRows : leastRows)
  ) {
    return { signs: null, memory: { ...memory, shifts: course.shifts } };
  }
  const trends = windowsHours.flatMap((window) => {
    const found = trendOver(course, hour, window);
    return found === null ? [] : [{ window, trend: found }];
  });
  const halfDay = trends.find(({ window }) => window >= 12)?.trend;
  const rate = halfDay === undefined ? 0 : -halfDay.slope - 2 * halfDay.slopeError;
  const peakRate = Math.max(memory.peakRate, rate);
  const first = course.points.filter((_, index) => (course.hours[index] ?? 0) <= originalHours);
  const measured = batch.originalGravity === null ? null : (batch.originalGravity - 1) * 1000;
  const begun = first.length >= 1 ? median(first.slice(0, 9)) : null;
  const original = begun ?? measured ?? median(course.points.slice(0, 3));
  const offset = begun !== null && measured !== null ? begun - measured : 0;
  const belief = terminalBelief(batch, measured ?? original);
  const level =
    trends[0]?.trend.level ??
    (byHand ? (course.points.at(-1) ?? 0) : median(course.points.slice(-5)));
  const distance = belief === null ? 0 : level - belief.points - offset;
  // Close to the end the distance is too uncertain to divide by.
  const peakPace =
    distance < paceDistance ? memory.peakPace : Math.max(memory.peakPace, rate / distance);
  const offsetSd = byHand
    ? course.scatter
    : Math.hypot(begun !== null && measured !== null ? 1 : 1.5, (driftSdPerDay * hour) / 24);
  return {
    memory: {
      ...memory,
      peakRate: Number(peakRate.toFixed(4)),
      peakPace: Number(peakPace.toFixed(5)),
      shifts: course.shifts,
    },
    signs: {
      course,
      hour,
      original,
      offset,
      offsetSd,
      level,
      fallen: original - level,
      peakRate,
      peakPace,
      trends,
      terminal:
        belief === null
          ? null
          : { points: belief.points + offset, sd: Math.hypot(belief.sd, offsetSd) },
      gasShare: gasShare(rows),
      temperature: temperatureSigns(rows, batch.startedAt, hour),
    },
  };
};

/** Hours between readings beyond which they count as sparse, such as one a day. Chosen by us. */
const sparseHours = 8;

const isSparse = ({ by, hours }: Pick<GravityCourse, 'by' | 'hours'>): boolean =>
  by === 'hand' ||
  (hours.length > 1 && ((hours.at(-1) ?? 0) - (hours[0] ?? 0)) / (hours.length - 1) > sparseHours);

/** Scatter believed of readings that are too few to show it: half a point. Assumption. */
const sparseScatter = 0.5;

/** Shares of a window that readings must span; sparse ones begin up to a day after it. Chosen by us. */
const spannedShare = 0.7;
const sparselySpannedShare = 0.6;

const trendOver = (course: GravityCourse, hour: number, window: number): Trend | null => {
  const from = course.hours.findIndex((time) => time > hour - window);
  if (from < 0) return null;
  const hours = course.hours.slice(from);
  const points = course.points.slice(from);
  const span = hour - (hours[0] ?? hour);
  const sparse = isSparse({ by: course.by, hours });
  if (span < (sparse ? sparselySpannedShare : spannedShare) * window) return null;
  if (sparse && hours.length === 2) return between(hours, points);
  if (hours.length < (sparse ? 3 : 6)) return null;
  const floor = hours.length < 6 ? sparseScatter : Math.max(scatterFloor, 0.6 * course.scatter);
  return trend(hours, points, floor);
};

/** Two readings a day apart show a fall as well as any, if their scatter is believed. */
const between = (hours: readonly number[], points: readonly number[]): Trend => {
  const [first = 0, last = 0] = hours;
  const [before = 0, level = 0] = points;
  const spanHours = last - first;
  return {
    slope: (level - before) / spanHours,
    slopeError: (Math.SQRT2 * sparseScatter) / spanHours,
    level,
    levelError: sparseScatter,
    scatter: sparseScatter,
    count: 2,
    spanHours,
  };
};

/**
 * Gas leaving as a share of the most seen, by flow or by the head pressure of a vented vessel, with twice its error
 * taken off: what is surely there.
 */
const gasShare = (rows: readonly ChronicleRow[]): number | null => {
  const flow = activity(rows, 'gas-flow', 0);
  return flow ?? activity(rows, 'gauge-pressure', leastHeadPascal);
};

/** Head pressure that swings by less tells nothing: gauges and weather do as much. Assumption. */
const leastHeadPascal = 600;

const activity = (
  rows: readonly ChronicleRow[],
  channel: 'gas-flow' | 'gauge-pressure',
  leastSwing: number,
): number | null => {
  const values = rows.flatMap((row) => heardIn(row, channel) ?? []);
  if (values.length < 24) return null;
  const smooth = values.map((_, index) => median(values.slice(Math.max(0, index - 6), index + 1)));
  const sorted = [...smooth].sort((a, b) => a - b);
  const base = channel === 'gas-flow' ? 0 : (sorted[Math.floor(sorted.length * 0.05)] ?? 0);
  const peak = sorted.at(-1) ?? 0;
  // A vented vessel holds a few centimetres of water; more means that the pressure is kept, and tells no flow.
  if (peak - base <= leastSwing || (channel === 'gauge-pressure' && peak > ventedPascal))
    return null;
  const noise = scatterOf(values) / Math.sqrt(4);
  return ((smooth.at(-1) ?? 0) - base - 2 * noise) / (peak - base);
};

const ventedPascal = 8000;

const temperatureSigns = (
  rows: readonly ChronicleRow[],
  start: number,
  hour: number,
): TemperatureSigns | null => {
  const within = (from: number, to: number): readonly number[] =>
    rows.flatMap((row) => {
      const at = (middleOf(row) - start) / 3600;
      const value = heardIn(row, 'temperature');
      return value !== null && at > from && at <= to ? [value] : [];
    });
  const last = within(hour - 4, hour + 1);
  const before = within(hour - 120, hour);
  if (last.length === 0 || before.length < 2) return null;
  const now = median(last);
  const sorted = [...before].sort((a, b) => a - b);
  const usual = sorted[Math.floor(sorted.length * 0.8)] ?? now;
  return { now, usual, fallenBy: usual - now };
};
