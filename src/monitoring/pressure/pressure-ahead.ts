/**
 * Where the pressure of a vessel is going: by warming up towards its surroundings, and by gas that gathers. Each
 * gives a chance of crossing the rated pressure and the time at which. Pure: no I/O, no clock.
 */

import type { Estimate } from '../../science/estimate.ts';
import { type Weighted, weightedEstimate } from '../course/weighted-estimate.ts';
import type { Watched } from '../watched.ts';
import { closedVesselOf, pressureAt } from './closed-drink.ts';
import type { PressureSigns } from './pressure-signs.ts';
import { risingPart } from './rising-temperature.ts';
import { steadyRise } from './steady-rise.ts';
import { type WarmUp, warmUp } from './warm-up.ts';

export type PressureAhead = {
  /** Chance, 0 to 1, that the rated pressure is crossed within the horizon. */
  readonly chance: number;
  /** Unix seconds of the crossing if it comes. */
  readonly crossing: Estimate | null;
  readonly way: 'warm-up' | 'rise' | null;
  /** Temperature at which the content as it is reaches the rating, and where the temperature is going. */
  readonly crossingCelsius: number | null;
  readonly endCelsius: Estimate | null;
  /** Pascal per hour gained at one temperature, and over which time that was seen. */
  readonly risePerHour: number;
  readonly riseHours: number;
};

/** How far ahead a crossing counts. Chosen by us: three days give time to act, more makes alarms of trifles. */
const horizonHours = 72;

/** A gauge may read this share low, so the rating is taken as that much lower. Assumption: class 1.6 and ageing. */
const gaugeError = 0.025;

export const pressureAhead = (watched: Watched, signs: PressureSigns): PressureAhead | null => {
  const rated = watched.vessel.ratedGaugePressurePascal;
  if (rated === null) return null;
  const limit = rated * (1 - gaugeError);
  const warm = byWarming(watched, signs, limit);
  const rise = byRising(watched, signs, limit);
  if (warm === null && rise === null) return nothing;
  if (rise === null || (warm !== null && warm.chance >= rise.chance)) return warm;
  return rise;
};

const nothing: PressureAhead = {
  chance: 0,
  crossing: null,
  way: null,
  crossingCelsius: null,
  endCelsius: null,
  risePerHour: 0,
  riseHours: 0,
};

const byWarming = (watched: Watched, signs: PressureSigns, limit: number): PressureAhead | null => {
  const { still, celsius } = signs;
  if (still === null || celsius === null) return null;
  const rise = risingPart(signs);
  if (rise === null) return null;
  const warming = warmUp(rise.hours, rise.celsiuses);
  if (warming === null) return null;
  const crossingCelsius = temperatureFor(watched, signs, limit);
  if (crossingCelsius === null) return null;
  const last = rise.hours.at(-1) ?? 0;
  const times: Weighted[] = [];
  let chance = 0;
  for (const { weight, end, endSd, tauHours } of warming.ways) {
    // Five equal slices of the normal distribution of the end.
    for (const step of slices) {
      const to = end + step * endSd;
      const gap = to - warming.now;
      const need = crossingCelsius - warming.now;
      if (gap <= need) continue;
      const hours = need <= 0 ? 0 : -tauHours * Math.log(1 - need / gap);
      if (hours > horizonHours) continue;
      chance += weight / slices.length;
      times.push({ value: last + hours, weight });
    }
  }
  const crossing = weightedEstimate(times, (hours) => Math.round(signs.at + hours * 3600));
  return {
    ...nothing,
    chance: rise.lasting ? chance : Math.min(chance, unsureChance),
    way: 'warm-up',
    crossing,
    crossingCelsius,
    endCelsius: endOf(warming),
  };
};

/** The chance given to a warming that may be the day's swing: too little to raise an alarm. Chosen by us. */
const unsureChance = 0.4;

/** Means of the five fifths of the standard normal distribution. */
const slices = [-1.4, -0.532, 0, 0.532, 1.4] as const;

const endOf = (warming: WarmUp): Estimate => {
  const ends = warming.ways.flatMap(({ weight, end, endSd }) =>
    slices.map((step) => ({ value: end + step * endSd, weight })),
  );
  return (
    weightedEstimate(ends, (value) => value) ?? {
      value: warming.now,
      low: warming.now,
      high: warming.now,
    }
  );
};

const byRising = (watched: Watched, signs: PressureSigns, limit: number): PressureAhead | null => {
  const rise = steadyRise(signs);
  if (rise === null) return null;
  // Under its vent a fermentation makes head pressure of its own, which rises with it and stays low.
  if (watched.batch?.stage === 'fermentation' && signs.pascal < ventedPascal) return null;
  const { relief, gas } = {
    relief: watched.vessel.reliefGaugePressurePascal,
    gas: watched.vessel.gasConnected,
  };
  const missing = limit - signs.pascal;
  // A valve that is set below the rating holds the pressure there, until the pressure shows that it does not.
  if (relief !== null && relief < limit && signs.pascal < relief * valveSlack) return null;
  // A regulator lifts the pressure to its setting and no further.
  if (gas && (rise.riseHours < 12 || missing / rise.trend.slope > regulatorHours)) return null;
  const per = (slope: number): number => missing / slope;
  const likely = Math.max(0, per(rise.trend.slope));
  const soon = Math.max(0, per(rise.trend.slope + 1.64 * rise.trend.slopeError));
  const slow = rise.trend.slope - 1.64 * rise.trend.slopeError;
  const late = slow <= 0 ? horizonHours * 2 : Math.max(0, per(slow));
  if (likely > horizonHours) return null;
  const at = (hours: number): number => Math.round(signs.at + hours * 3600);
  return {
    ...nothing,
    chance: 0.9,
    way: 'rise',
    crossing: { value: at(likely), low: at(soon), high: at(Math.min(late, horizonHours * 2)) },
    risePerHour: rise.trend.slope,
    riseHours: rise.riseHours,
  };
};

/** Gauge pressure that a blow-off under a metre and a half of water holds. Chosen by us: less calls a lively start blocked. */
const ventedPascal = 15_000;

/** With a regulator a rise counts only if it would cross within this time. Chosen by us. */
const regulatorHours = 24;

/** A valve opens and shuts within so much of its setting; above it, it is not working. */
const valveSlack = 1.12;

/** The temperature at which the content as it is reaches a pressure; null beyond 45 °C. */
const temperatureFor = (watched: Watched, signs: PressureSigns, limit: number): number | null => {
  const { still } = signs;
  if (still === null) return null;
  const closed = closedVesselOf(watched, still.celsius);
  let low = -2;
  let high = 45;
  const reaches = (celsius: number): boolean => {
    const pascal = pressureAt(closed, still.gram, celsius);
    // Where physics gives no number the vessel is full to the brim: that is beyond any rating.
    return pascal === null || pascal >= limit;
  };
  if (!reaches(high)) return null;
  if (reaches(low)) return low;
  for (let round = 0; round < 12; round += 1) {
    const middle = (low + high) / 2;
    if (reaches(middle)) high = middle;
    else low = middle;
  }
  return high;
};
