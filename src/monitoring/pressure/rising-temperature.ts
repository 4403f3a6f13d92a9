/**
 * The rise of a vessel's temperature since it was last low, if it has risen beyond what it was before, and whether that
 * is more than the swing of a day. Pure: no I/O, no clock.
 */
import type { PressureSigns } from './pressure-signs.ts';

/** A warm-up must lift the temperature so far above what it was in the two days before. Chosen by us. */
const leastWarming = 1;

/** The readings since the temperature was last low, if it has risen beyond what it was before. */
export const risingPart = (
  signs: PressureSigns,
): {
  hours: readonly number[];
  celsiuses: readonly number[];
  /** Whether it is more than a swing with the day can be. */
  lasting: boolean;
} | null => {
  const hours: number[] = [];
  const celsiuses: number[] = [];
  for (const [index, celsius] of signs.celsiuses.entries()) {
    const hour = signs.hours[index];
    if (celsius === null || hour === undefined) continue;
    hours.push(hour);
    celsiuses.push(celsius);
  }
  const now = celsiuses.at(-1);
  if (now === undefined || hours.length < 4) return null;
  const recent = hours.findIndex((hour) => hour >= -recentHours);
  const lowest = Math.min(...celsiuses.slice(recent));
  const low = celsiuses.findLastIndex((celsius) => celsius <= lowest + swayCelsius);
  // A vessel that breathes with the day has been as warm before; a vessel that warms up has not.
  const known = Math.max(lowest, ...celsiuses.slice(0, low));
  if (now - known < leastWarming) return null;
  const from = Math.max(
    low,
    hours.findIndex((hour) => hour >= -fitHours),
  );
  // A whole day was seen; or it stood still for longer than a swing does at its turn; or it climbs too fast for one.
  const lasting =
    (hours[low] ?? 0) - (hours[0] ?? 0) >= dayHours ||
    (now - known >= tellingWarming && stoodFor(hours, celsiuses, low) >= stoodHours) ||
    climbRate(hours, celsiuses) > swingPerHour;
  return hours.length - from < 3
    ? null
    : { hours: hours.slice(from), celsiuses: celsiuses.slice(from), lasting };
};

/**
 * A swing with the day, A (1 - cos(2 pi t / 24 h)) above its low, that climbs by 2.5 degrees in all stays within 0.8
 * degrees of its low for no more than 9.2 h, and less if it climbs further: what stood still for nine hours before it
 * climbs so far is no swing. Chosen by us; shorter rests would take slow swings for a failed cooler.
 */
const tellingWarming = 2.5;
const stoodCelsius = 0.8;
const stoodHours = 9;

/** A swing of 5 degrees up and down, more than a room does to a drink, climbs by 1.3 degrees an hour. Chosen by us. */
const swingPerHour = 1.5;
const climbHours = 2.9;

/** Degrees an hour over the latest hours; zero where they are not known. */
const climbRate = (hours: readonly number[], celsiuses: readonly number[]): number => {
  const last = hours.at(-1) ?? 0;
  const from = hours.findLastIndex((hour) => hour <= last - climbHours);
  return from < 0
    ? 0
    : ((celsiuses.at(-1) ?? 0) - (celsiuses[from] ?? 0)) / (last - (hours[from] ?? last));
};

/** Hours before the low over which the temperature stood still. */
const stoodFor = (hours: readonly number[], celsiuses: readonly number[], low: number): number => {
  let least = celsiuses[low] ?? 0;
  let most = least;
  let from = low;
  while (from > 0) {
    const celsius = celsiuses[from - 1] ?? 0;
    least = Math.min(least, celsius);
    most = Math.max(most, celsius);
    if (most - least > stoodCelsius) break;
    from -= 1;
  }
  return (hours[low] ?? 0) - (hours[from] ?? 0);
};

/** Readings sway by so much while the temperature stands still. Chosen by us. */
const swayCelsius = 0.6;
/** The low that a warm-up starts from is sought so far back: a day and a night. Chosen by us. */
const recentHours = 30;

/** Readings over so long have seen a day's swing. Chosen by us. */
const dayHours = 20;
/** Readings of a warm-up older than this say less than their share: rooms have their day too. */
const fitHours = 14;
