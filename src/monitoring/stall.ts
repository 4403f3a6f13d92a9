/**
 * Stall: gravity has stopped although much is left to ferment. Told from a slow fermentation by comparing the
 * fall that is left in the readings with what the distance to the expected terminal still asks for.
 * Pure: no I/O, no clock.
 */
import type { FermentationSigns } from './fermentation-signs.ts';
import type { Trend } from './trend.ts';

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
  readonly cause: 'cold' | 'hot' | null;
};

export const stallSettings = {
  /** Share of the batch's own best pace below which it has stopped, by what else is known. */
  share: 0.06,
  shareEarly: 0.04,
  shareExplained: 0.16,
  /** And never a slower pace than this is asked for, per hour of the sure distance. */
  leastPace: 0.0008,
  /** Standard errors of the slope that must still fit under the limit. */
  slopeErrors: 1.3,
  /** Standard deviations of the terminal belief taken off the distance. */
  beliefErrors: 1.2,
  beliefErrorsExplained: 0.6,
  /** Points that must be left for sure. */
  leastDistance: 2.5,
  leastDistanceExplained: 1.5,
  /** Shortest window that may decide, in hours. */
  shortestExplained: 8,
  shortest: 18,
  shortestEarly: 36,
  /** Share of the fall to terminal up to which a stop may be a pause between sugars. */
  early: 0.5,
  /** Points that must have fallen before anything can stop. */
  begun: 4,
  /** Gas above this share of its peak is a fermentation at work. */
  gasAtWork: 0.12,
  /** Degrees below the usual temperature that explain a stop. */
  coldBy: 3,
  hotAbove: 30.5,
  /** Points per hour that drift alone may feign. */
  drift: 0.006,
};

export const pace = (signs: FermentationSigns, settings = stallSettings): Pace | null => {
  const { terminal, level } = signs;
  if (terminal === null) return null;
  const distance = level - terminal.points;
  const cause =
    signs.temperature === null
      ? null
      : signs.temperature.fallenBy >= settings.coldBy
        ? 'cold'
        : signs.temperature.now >= settings.hotAbove
          ? 'hot'
          : null;
  const errors = cause === null ? settings.beliefErrors : settings.beliefErrorsExplained;
  const sureDistance = distance - errors * terminal.sd;
  const leastDistance = cause === null ? settings.leastDistance : settings.leastDistanceExplained;
  const share = signs.fallen / Math.max(1, signs.original - terminal.points);
  const early = share < settings.early;
  const least =
    cause !== null ? settings.shareExplained : early ? settings.shareEarly : settings.share;
  const shortest =
    cause !== null
      ? settings.shortestExplained
      : early
        ? settings.shortestEarly
        : settings.shortest;
  const limit = Math.max(settings.leastPace, least * signs.peakPace) * sureDistance;
  const said = (verdict: Pace['verdict'], window = 0, trend: Trend | null = null): Pace => ({
    verdict,
    distance,
    sureDistance,
    trend,
    window,
    limit,
    cause,
  });
  if (signs.fallen < settings.begun) return said('unsure');
  if (signs.course.unsettled) return said('unsure');
  const atWork = signs.gasShare !== null && signs.gasShare > settings.gasAtWork;
  for (const { window, trend } of signs.trends) {
    const fall = -trend.slope;
    if (fall - 2 * trend.slopeError > Math.max(2 * limit, 0.02))
      return said('moving', window, trend);
    // Gravity never rises by itself: a rise that is sure says that the sensor is not to be believed here.
    const rises = -fall - 2.5 * trend.slopeError > 0.02;
    if (window < shortest || rises || atWork || sureDistance < leastDistance) continue;
    if (Math.max(0, fall) + settings.slopeErrors * trend.slopeError - settings.drift < limit) {
      return said('stopped', window, trend);
    }
  }
  return said(atWork ? 'moving' : 'unsure');
};
