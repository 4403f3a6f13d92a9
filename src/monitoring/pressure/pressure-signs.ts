/**
 * What the chronicle shows of a vessel's pressure at a moment: smoothed pressure and temperature, and the series of
 * pressures brought to the present temperature, so that what is left in it is gas gained or lost.
 * Hours count from the newest row, which is hour zero. Pure: no I/O, no clock.
 */
import { type ChronicleRow, heardIn, middleOf } from '../course/chronicle.ts';
import { median } from '../course/median.ts';
import type { Watched } from '../watched.ts';
import { closedVesselOf, contentAt, pressureAt } from './closed-drink.ts';

export type PressureSigns = {
  /** Unix seconds of the newest row. */
  readonly at: number;
  readonly pascal: number;
  readonly celsius: number | null;
  /** Oldest first; negative hours. */
  readonly hours: readonly number[];
  readonly pascals: readonly number[];
  readonly celsiuses: readonly (number | null)[];
  /** Pressures brought to the present temperature. */
  readonly levelled: readonly number[];
  /** Carbon dioxide in all, g, as found while the temperature last stood still, and at which; null if unknown. */
  readonly still: Still | null;
  /** Pascal per degree at the present content; null where it is not known. */
  readonly pascalPerCelsius: number | null;
};

type Still = { readonly gram: number; readonly celsius: number };

/** Rows older than this say little of where pressure is going. Chosen by us. */
const reachHours = 96;

/** Temperature that has moved less than this since three hours before counts as standing still. Chosen by us. */
const stillCelsius = 0.7;

/** Enough to calm a noisy gauge, few enough to follow a content that changes. Chosen by us. */
const rowsForContent = 16;

export const pressureSigns = (
  watched: Watched,
  rows: readonly ChronicleRow[],
): PressureSigns | null => {
  const newest = rows.at(-1);
  if (newest === undefined) return null;
  const at = middleOf(newest);
  const hours: number[] = [];
  const raw: number[] = [];
  const celsiuses: (number | null)[] = [];
  let celsius: number | null = null;
  let celsiusAt = Number.NEGATIVE_INFINITY;
  for (const row of rows) {
    const hour = (middleOf(row) - at) / 3600;
    if (hour < -reachHours) continue;
    const temperature = heardIn(row, 'temperature');
    if (temperature !== null) {
      celsius = temperature;
      celsiusAt = hour;
    }
    const pascal = heardIn(row, 'gauge-pressure');
    if (pascal === null) continue;
    hours.push(hour);
    raw.push(pascal);
    celsiuses.push(hour - celsiusAt <= 3 ? celsius : null);
  }
  if (raw.length < 3) return null;
  // A lone wild reading in a row of its own is replaced by the median of it and its neighbours.
  const pascals = raw.map((value, index) =>
    index === 0 || index === raw.length - 1
      ? value
      : median([raw[index - 1] ?? value, value, raw[index + 1] ?? value]),
  );
  const last = pascals.length - 1;
  pascals[last] = median([raw[last] ?? 0, raw[last - 1] ?? 0, raw[last - 2] ?? 0]);
  const smooth = smoothed(celsiuses);
  const here = smooth.at(-1) ?? null;
  const pascal = pascals.at(-1) ?? 0;
  const still = here === null ? null : stillContent(watched, hours, pascals, smooth);
  const slope = here === null || still === null ? null : perCelsius(watched, still, here);
  return {
    at,
    pascal,
    celsius: here,
    hours,
    pascals,
    celsiuses: smooth,
    levelled: pascals.map((value, index) => {
      const then = smooth[index] ?? null;
      return slope === null || here === null || then === null
        ? value
        : value + slope * (here - then);
    }),
    still,
    pascalPerCelsius: slope,
  };
};

const smoothed = (values: readonly (number | null)[]): readonly (number | null)[] =>
  values.map((value, index) => {
    if (value === null) return null;
    const near = values.slice(Math.max(0, index - 1), index + 2).filter((other) => other !== null);
    return near.reduce((sum, other) => sum + other, 0) / near.length;
  });

/** The content over the latest hours in which the temperature stood still; else the present one. */
const stillContent = (
  watched: Watched,
  hours: readonly number[],
  pascals: readonly number[],
  celsiuses: readonly (number | null)[],
): Still | null => {
  const grams: number[] = [];
  const stood: number[] = [];
  for (let index = hours.length - 1; index >= 0 && grams.length < rowsForContent; index -= 1) {
    const celsius = celsiuses[index] ?? null;
    const hour = hours[index] ?? 0;
    const before = celsiuses[hours.findIndex((other) => other >= hour - 3)] ?? null;
    if (celsius === null || before === null || Math.abs(celsius - before) > stillCelsius) continue;
    const gram = contentAt(closedVesselOf(watched, celsius), pascals[index] ?? 0, celsius);
    if (gram === null) continue;
    grams.push(gram);
    stood.push(celsius);
  }
  if (grams.length >= 3) return { gram: median(grams), celsius: median(stood) };
  const celsius = celsiuses.at(-1) ?? null;
  const gram =
    celsius === null
      ? null
      : contentAt(closedVesselOf(watched, celsius), pascals.at(-1) ?? 0, celsius);
  return celsius === null || gram === null ? null : { gram, celsius };
};

const perCelsius = (watched: Watched, still: Still, celsius: number): number | null => {
  const closed = closedVesselOf(watched, still.celsius);
  const warmer = pressureAt(closed, still.gram, celsius + 1);
  const colder = pressureAt(closed, still.gram, celsius - 1);
  return warmer === null || colder === null ? null : (warmer - colder) / 2;
};
