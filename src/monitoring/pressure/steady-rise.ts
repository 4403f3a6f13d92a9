/**
 * A steady rise of pressure at one temperature: gas that gathers. Pure: no I/O, no clock.
 */
import { standardAtmosphere } from '../../science/gas-law.ts';
import { median } from '../course/median.ts';
import { type Trend, trend } from '../course/trend.ts';
import type { PressureSigns } from './pressure-signs.ts';

/** Windows in hours, shortest first. Chosen by us: shorter ones warn sooner of a blocked vent, and of noise. */
const windows = [3, 4, 6, 9, 12, 24] as const;

/** Rows that a window must hold. Chosen by us. */
const leastRows = 5;

/** Slope of a rise in standard errors. Chosen by us. */
const riseErrors = 3.5;

/**
 * By how much the pressure must pass what it was in the days before, to count as new gas. Chosen by us: 4 kPa and
 * 2.5 % cost a refermentation two hours of warning, 2.5 kPa and 1.2 % call the noise of a gauge gas.
 */
const beyondPascal = 3000;
const beyondShare = 0.015;

/**
 * Gas that gathers: a rise at one temperature, beyond the noise, in every quarter of the window, to above what the
 * days before have seen.
 */
export const steadyRise = (
  signs: PressureSigns,
): { readonly trend: Trend; readonly riseHours: number } | null => {
  for (const window of windows) {
    const from = signs.hours.findIndex((hour) => hour >= -window);
    const hours = signs.hours.slice(from);
    if (hours.length < leastRows || (hours[0] ?? 0) > -0.7 * window) continue;
    const levelled = signs.levelled.slice(from);
    const all = trend(hours, levelled, leastScatterPascal);
    if (all === null || all.slope - riseErrors * all.slopeError <= 0) continue;
    const beyond = Math.max(beyondPascal, beyondShare * (signs.pascal + standardAtmosphere));
    if (all.slope * all.spanHours < 0.7 * beyond) continue;
    const led = signs.hours.findIndex((hour) => hour >= -window - leadHours);
    if (!stillEnough(signs.celsiuses.slice(led))) continue;
    const before = signs.levelled.slice(0, from + 1).sort((a, b) => a - b);
    const highest = before[Math.floor(0.9 * before.length)];
    if (
      -window - (signs.hours[0] ?? 0) < leadHours ||
      before.length < 4 ||
      highest === undefined ||
      all.level - highest < beyond
    )
      continue;
    if (!everyQuarter(levelled)) continue;
    return { trend: all, riseHours: window };
  }
  return null;
};

/** A step or a bend is no rise: each quarter must add its part. */
const everyQuarter = (values: readonly number[]): boolean => {
  const quarter = values.length / 4;
  const middles = [0, 1, 2, 3].map((index) =>
    median(values.slice(Math.floor(index * quarter), Math.ceil((index + 1) * quarter))),
  );
  const total = (middles[3] ?? 0) - (middles[0] ?? 0);
  return [0, 1, 2].every((index) => {
    const part = ((middles[index + 1] ?? 0) - (middles[index] ?? 0)) / total;
    return part > 0.1 && part < 0.65;
  });
};

/** An ordinary gauge shows no less than this of its own unrest. Chosen by us. */
const leastScatterPascal = 150;

/**
 * The drink gives off its gas hours after it has warmed: for so long before the window the pressure must be
 * known, and the temperature have stood still. Chosen by us: the slowest vessel simulated lags by eight hours; less calls a warm afternoon gas.
 */
const leadHours = 8;

/** Degrees within which levelling by temperature can be trusted; beyond, the gas lags behind. Chosen by us. */
const levelledCelsius = 1.2;

const stillEnough = (celsiuses: readonly (number | null)[]): boolean => {
  const heard = celsiuses.filter((celsius) => celsius !== null);
  return heard.length === 0 || Math.max(...heard) - Math.min(...heard) <= levelledCelsius;
};
