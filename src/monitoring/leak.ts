/**
 * Leak: a closed vessel without a gas supply loses pressure hour by hour, not by pours. Pure: no I/O, no clock.
 */
import { standardAtmosphere } from '../science/gas-law.ts';
import type { PressureSigns } from './pressure-signs.ts';
import { type Trend, trend } from './trend.ts';

/** Windows in hours, shortest first; the shortest holds a whole night wherever it begins. */
const windows = [38, 54, 72] as const;

/** Slope in standard errors, and its least size over the window in pascal and as a share of the pressure. Chosen by us. */
const fallErrors = 4;
const leastFallPascal = 3500;
const leastFallShare = 0.04;

/**
 * Every stretch of so many hours must show this share of the mean fall, and be long enough to tell. Pours come by
 * day and leave the nights without any; a leak does not sleep. Chosen by us.
 */
const stretchHours = 12;
const evenShare = 0.4;
const tellingShare = 0.25;

export const steadyFall = (
  signs: PressureSigns,
): { readonly trend: Trend; readonly fallHours: number } | null => {
  for (const window of windows) {
    const from = signs.hours.findIndex((hour) => hour >= -window);
    const hours = signs.hours.slice(from);
    if (hours.length < 8 || (hours[0] ?? 0) > -0.8 * window) continue;
    const levelled = signs.levelled.slice(from);
    const all = trend(hours, levelled, 150);
    if (all === null) continue;
    const fall = -all.slope;
    if (fall - fallErrors * all.slopeError <= 0) continue;
    const lost = fall * all.spanHours;
    if (lost < Math.max(leastFallPascal, leastFallShare * (signs.pascal + standardAtmosphere)))
      continue;
    const celsiuses = signs.celsiuses.slice(from).filter((celsius) => celsius !== null);
    if (celsiuses.length > 0 && Math.max(...celsiuses) - Math.min(...celsiuses) > stillCelsius)
      continue;
    if (!sleepless(hours, levelled, fall)) continue;
    return { trend: all, fallHours: window };
  }
  return null;
};

/** Degrees within which levelling by temperature can be trusted. Chosen by us. */
const stillCelsius = 1.5;

const sleepless = (
  hours: readonly number[],
  levelled: readonly number[],
  fall: number,
): boolean => {
  const last = hours.at(-1) ?? 0;
  for (let begin = hours[0] ?? 0; begin + stretchHours <= last + 0.5; begin += 1.5) {
    const from = hours.findIndex((hour) => hour >= begin);
    const after = hours.findIndex((hour) => hour > begin + stretchHours);
    const to = after < 0 ? hours.length : after;
    const own = trend(hours.slice(from, to), levelled.slice(from, to), 150);
    if (own === null || own.spanHours < 0.7 * stretchHours) continue;
    if (own.slopeError > tellingShare * fall || -own.slope < evenShare * fall) return false;
  }
  return true;
};
