/**
 * Leak: a closed vessel without a gas supply loses pressure by day and by night and never wins any back. Pours come by
 * day and rest, and after a pour the drink gives gas back. A shot of gas that the drink takes up comes to rest.
 * Pure: no I/O, no clock.
 *
 * All limits here are ours, chosen on simulated vessels: 54 of 60 leaks are found, half of them within a day, and 1 of 60 vessels
 * that pour without a supply is blamed.
 */
import { standardAtmosphere } from '../../science/gas-law.ts';
import { median } from '../course/median.ts';
import { type Trend, trend } from '../course/trend.ts';
import { evenNumbers, fallShape } from './fall-shape.ts';
import type { PressureSigns } from './pressure-signs.ts';

export type SteadyFall = {
  readonly trend: Trend;
  readonly fallHours: number;
  /** Pascal lost each hour over the whole window, and over its latest third. */
  readonly perHour: number;
  readonly latePerHour: number;
};

/** Windows in hours, shortest first; the shortest holds a day and a night. A shorter one would take a day of pours for a leak. */
const windows = [26, 32, 40, 54, 72, 95] as const;

/** Share of a window over which there must be readings, and how many. More asks for fewer gaps and finds later. */
const coveredShare = 0.9;
const leastRows = 12;

/** Slope in standard errors, and its least size over the window in pascal and as a share of the pressure: less finds slower leaks, and drift of gauges. */
const fallErrors = 4;
const leastFallPascal = 2500;
const leastFallShare = 0.02;

/** Gauge pressure below which next to nothing is left to lose: the last pours of a keg look like that. */
const leastPascal = 6000;

/** Degrees within which levelling by temperature can be trusted. */
const stillCelsius = 1.5;

/**
 * The latest third, and twelve hours at least, must lose between these shares of the mean: gas that a drink takes up
 * loses less and less, and a day of pours that has just begun loses much more.
 */
const lateShares = { least: 0.5, most: 2 } as const;
const lateHours = 12;

/**
 * By how much pressure may sway about the even fall, and rise above its lowest: so many times the noise of the gauge,
 * or this share of a day's loss. A day of pours sways by a fifth of its fall and more.
 */
const swayScatters = 1.3;
const swayShare = 0.06;
const refillScatters = 2;
const refillShare = 0.12;

/** How much likelier the even fall must be than the best fall that rests, as a logarithm: e to the 4 is 55 to 1. */
const leastLogLikelihoodRatio = 4;

/** An ordinary gauge shows no less than this of its own unrest. */
const leastScatterPascal = 150;

/** Half-hour rows are not independent; errors are taken as this much greater than if they were, as in trend.ts. */
const correlationFactor = 1.4;

export const steadyFall = (signs: PressureSigns): SteadyFall | null => {
  if (signs.pascal < leastPascal) return null;
  const enough = Math.max(leastFallPascal, leastFallShare * (signs.pascal + standardAtmosphere));
  for (const window of windows) {
    const from = signs.hours.findIndex((hour) => hour >= -window);
    const hours = signs.hours.slice(from);
    if (hours.length < leastRows || (hours[0] ?? 0) > -coveredShare * window) continue;
    const levelled = signs.levelled.slice(from);
    const all = trend(hours, levelled, leastScatterPascal);
    if (all === null) continue;
    const perHour = -all.slope;
    if (perHour - fallErrors * all.slopeError <= 0 || perHour * all.spanHours < enough) continue;
    if (!stoodStill(signs.celsiuses.slice(from))) continue;
    const recent = hours.findIndex((hour) => hour >= -Math.max(lateHours, window / 3));
    const late = trend(hours.slice(recent), levelled.slice(recent), leastScatterPascal);
    if (late === null || -late.slope - late.slopeError < lateShares.least * perHour) continue;
    if (-late.slope - late.slopeError > lateShares.most * perHour) continue;
    if (!evenly(hours, levelled, 24 * perHour)) continue;
    return { trend: all, fallHours: window, perHour, latePerHour: -late.slope };
  }
  return null;
};

const stoodStill = (celsiuses: readonly (number | null)[]): boolean => {
  const heard = celsiuses.filter((celsius) => celsius !== null);
  return heard.length === 0 || Math.max(...heard) - Math.min(...heard) <= stillCelsius;
};

const evenly = (
  hours: readonly number[],
  levelled: readonly number[],
  perDayPascal: number,
): boolean => {
  const noise = noiseOf(levelled);
  if (refilled(levelled) > Math.max(refillScatters * noise, refillShare * perDayPascal))
    return false;
  const shape = fallShape(hours, levelled);
  const sway = Math.sqrt(shape.evenSquares / Math.max(1, hours.length - evenNumbers));
  if (sway > Math.max(swayScatters * noise, swayShare * perDayPascal)) return false;
  const scatter = correlationFactor * Math.max(leastScatterPascal, sway);
  const ratio = (shape.restingSquares - shape.evenSquares) / (2 * scatter * scatter);
  return ratio >= leastLogLikelihoodRatio;
};

/** Robust standard deviation of a row, from rows three apart, which share no reading after smoothing. */
const noiseOf = (values: readonly number[]): number => {
  const steps = values.slice(3).map((value, index) => Math.abs(value - (values[index] ?? value)));
  return Math.max(leastScatterPascal, (1.4826 * median(steps)) / Math.SQRT2);
};

/** Rows of which a median is taken, so that noise refills nothing. */
const refillRows = 5;

/** The greatest rise above what was lowest before. */
const refilled = (values: readonly number[]): number => {
  let lowest = Number.POSITIVE_INFINITY;
  let most = 0;
  for (let at = 0; at + refillRows <= values.length; at += 2) {
    const middle = median(values.slice(at, at + refillRows));
    lowest = Math.min(lowest, middle);
    most = Math.max(most, middle - lowest);
  }
  return most;
};
