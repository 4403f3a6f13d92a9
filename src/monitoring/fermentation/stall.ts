/**
 * Stall: gravity has stopped although much is left to ferment. Told from a slow fermentation by comparing the
 * fall that is left in the readings with what the distance to the expected terminal still asks for.
 * Pure: no I/O, no clock.
 */

import type { Trend } from '../course/trend.ts';
import type { FermentationSigns } from './fermentation-signs.ts';

/** How the fall compares with what the distance asks for. */
export type Pace = {
  readonly verdict: 'stopped' | 'moving' | 'unsure';
  /** Points above the expected terminal, as read, and the distance that is all but certain. */
  readonly distance: number;
  readonly sureDistance: number;
  /** The trend that decided, and its window; null where none could. */
  readonly trend: Trend | null;
  readonly window: number;
  /** Points per hour below which the fermentation counts as stopped. */
  readonly limit: number;
  readonly cause: 'cold' | 'hot' | 'never-began' | null;
};

/** How a stop is told in one situation. */
type StopTest = {
  /** Share of the healthy fall that the measured fall must stay under. */
  readonly share: number;
  /** Share of the healthy fall that must be excluded, so many standard errors of the slope away. */
  readonly excluded: number;
  readonly errors: number;
  /** Points per hour that count as standing still; a fall that is surely more is slow, not stopped. */
  readonly still: number;
  /** Standard deviations of the terminal belief taken off the distance, and the points that must be left then. */
  readonly beliefErrors: number;
  readonly leastDistance: number;
  /** Shortest window that may decide, in hours. */
  readonly shortest: number;
};

export type StallSettings = {
  /** The drink has grown cold, or is hot: that explains a stop. */
  readonly cold: StopTest;
  readonly hot: StopTest;
  readonly plain: StopTest;
  /** Much is left and nothing explains a stop: it may be a pause between sugars. */
  readonly early: StopTest;
  /** Share of the fall to terminal up to which it is early. */
  readonly earlyShare: number;
  /** A healthy fall is at least this share of the distance per hour, however slow the batch has been. */
  readonly leastPace: number;
  /** Points that must have fallen before anything can stop. */
  readonly begun: number;
  /** Hours after which a fall is missed: any at all, and one of `begun` where half of it is seen. */
  readonly beginHours: number;
  readonly begunHours: number;
  /** Gas above this share of its peak is a fermentation at work. */
  readonly gasAtWork: number;
  /** Gas below this share of its peak confirms a stop, which then needs this share of the usual window. */
  readonly gasQuiet: number;
  readonly quietWindow: number;
  /** Degrees below the usual temperature, and degrees, that explain a stop. */
  readonly coldBy: number;
  readonly hotAbove: number;
  /** Points per hour that drift alone may feign. */
  readonly drift: number;
};

/**
 * Chosen by us: searched for on four sets of 240 simulated fermentations (src/host/simulated), for few
 * false alarms first and early ones second, then rounded and looked at on two further sets. A greater share, a
 * smaller distance or a shorter window alarms sooner and more often in vain. Heat slows yeast for a day before it
 * kills, so a hot stop needs surer signs than a cold one, where much slower than healthy already is a stop. Quiet gas
 * lets a window be a quarter shorter; half of it takes a pause for a stop.
 */
export const stallSettings: StallSettings = {
  cold: {
    share: 0.45,
    excluded: 1,
    errors: 0.5,
    still: 0.08,
    beliefErrors: 0.4,
    leastDistance: 1.5,
    shortest: 8,
  },
  hot: {
    share: 0.14,
    excluded: 1,
    errors: 1.2,
    still: 0.08,
    beliefErrors: 0.4,
    leastDistance: 1.5,
    shortest: 12,
  },
  plain: {
    share: 0.12,
    excluded: 0.145,
    errors: 1,
    still: 0.02,
    beliefErrors: 0.95,
    leastDistance: 6.3,
    shortest: 30,
  },
  early: {
    share: 0.11,
    excluded: 0.06,
    errors: 0.75,
    still: 0.009,
    beliefErrors: 1.4,
    leastDistance: 2.5,
    shortest: 48,
  },
  earlyShare: 0.53,
  leastPace: 0.009,
  begun: 4,
  beginHours: 84,
  begunHours: 132,
  gasAtWork: 0.085,
  gasQuiet: 0.03,
  quietWindow: 0.75,
  coldBy: 4,
  hotAbove: 30.5,
  drift: 0.005,
};

export const pace = (
  signs: FermentationSigns,
  settings: StallSettings = stallSettings,
): Pace | null => {
  const { terminal, level, temperature } = signs;
  if (terminal === null) return null;
  const begun = signs.fallen >= settings.begun;
  const cause = !begun
    ? 'never-began'
    : temperature === null
      ? null
      : temperature.fallenBy >= settings.coldBy
        ? 'cold'
        : temperature.now >= settings.hotAbove
          ? 'hot'
          : null;
  const share = signs.fallen / Math.max(1, signs.original - terminal.points);
  const test =
    cause === 'cold' || cause === 'hot'
      ? settings[cause]
      : share < settings.earlyShare
        ? settings.early
        : settings.plain;
  const distance = level - terminal.points;
  const sureDistance = distance - test.beliefErrors * terminal.sd;
  const healthy = Math.max(settings.leastPace, signs.peakPace) * Math.max(0, sureDistance);
  const said = (verdict: Pace['verdict'], window = 0, trend: Trend | null = null): Pace => ({
    verdict,
    distance,
    sureDistance,
    trend,
    window,
    limit: test.share * healthy,
    cause,
  });
  if (signs.course.unsettled) return said('unsure');
  const beginning = signs.fallen >= settings.begun / 2;
  const overdue = !begun && signs.hour >= (beginning ? settings.begunHours : settings.beginHours);
  // Before anything has happened the gas has no peak to be a share of.
  const atWork = begun && signs.gasShare !== null && signs.gasShare > settings.gasAtWork;
  const quiet = begun && signs.gasShare !== null && signs.gasShare < settings.gasQuiet;
  const shortest = quiet ? settings.quietWindow * test.shortest : test.shortest;
  for (const { window, trend } of signs.trends) {
    const fall = -trend.slope;
    const still = fall + test.errors * trend.slopeError < leastMovement;
    if (overdue && window >= shortest && still) return said('stopped', window, trend);
    const moves = Math.max(2 * test.share * healthy, leastMovement);
    if (fall - 2 * trend.slopeError > moves) return said('moving', window, trend);
    // Gravity never rises by itself: a rise that is sure says that the sensor is not to be believed here.
    const rises = -fall - 2.5 * trend.slopeError > leastMovement;
    // Two readings a day apart decide only where the cold explains a stop.
    const few = trend.count < 3 && cause !== 'cold';
    if (!begun || few || window < shortest || rises || atWork || sureDistance < test.leastDistance)
      continue;
    if (fall - 2 * trend.slopeError > test.still) continue;
    const seen = Math.max(0, fall) - settings.drift;
    if (
      seen < test.share * healthy &&
      seen + test.errors * trend.slopeError < test.excluded * healthy
    ) {
      return said('stopped', window, trend);
    }
  }
  return said(atWork ? 'moving' : 'unsure');
};

/** Points per hour that count as movement for sure: half a point a day, more than a drifting sensor makes. */
const leastMovement = 0.02;
