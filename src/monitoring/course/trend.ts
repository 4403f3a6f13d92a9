/**
 * A straight line through readings that deserve no full trust: slope and level with their standard errors.
 * Start: Tukey's resistant line (J. W. Tukey, Exploratory Data Analysis, 1977, chapter 10); points farther than
 * 3.5 robust standard deviations from it are set aside; least squares through the rest. Pure.
 */

import { median } from './median.ts';

export type Trend = {
  /** Units of the value per hour. */
  readonly slope: number;
  readonly slopeError: number;
  /** The line at the last time. */
  readonly level: number;
  readonly levelError: number;
  /** Robust standard deviation of one value about the line. */
  readonly scatter: number;
  readonly count: number;
  readonly spanHours: number;
};

/** Beyond this many robust standard deviations a value is set aside; common practice in robust statistics. */
const setAsideBeyond = 3.5;

/** Values of half-hour buckets are not independent; assumption: errors are this much greater than if they were. */
const correlationFactor = 1.4;

/** `scatterFloor` is the least scatter believed, such as the resolution of the sensor. */
export const trend = (
  hours: readonly number[],
  values: readonly number[],
  scatterFloor: number,
): Trend | null => {
  const count = hours.length;
  if (count < 3) return null;
  const first = hours[0] ?? 0;
  const last = hours[count - 1] ?? 0;
  const third = Math.ceil(count / 3);
  const early = [median(hours.slice(0, third)), median(values.slice(0, third))] as const;
  const late = [median(hours.slice(-third)), median(values.slice(-third))] as const;
  if (!(late[0] > early[0])) return null;
  const resistant = (late[1] - early[1]) / (late[0] - early[0]);
  const around = values.map((value, index) => value - resistant * ((hours[index] ?? 0) - first));
  const middle = median(around);
  const spread = Math.max(scatterFloor, 1.4826 * median(around.map((r) => Math.abs(r - middle))));
  let n = 0;
  let sumT = 0;
  let sumV = 0;
  const kept = around.map((r) => Math.abs(r - middle) <= setAsideBeyond * spread);
  for (let index = 0; index < count; index += 1) {
    if (!kept[index]) continue;
    n += 1;
    sumT += hours[index] ?? 0;
    sumV += values[index] ?? 0;
  }
  const meanT = sumT / n;
  const meanV = sumV / n;
  let stt = 0;
  let stv = 0;
  for (let index = 0; index < count; index += 1) {
    if (!kept[index]) continue;
    const dt = (hours[index] ?? 0) - meanT;
    stt += dt * dt;
    stv += dt * ((values[index] ?? 0) - meanV);
  }
  if (n < 3 || stt <= 0) return null;
  const slope = stv / stt;
  let squares = 0;
  for (let index = 0; index < count; index += 1) {
    if (!kept[index]) continue;
    squares += ((values[index] ?? 0) - meanV - slope * ((hours[index] ?? 0) - meanT)) ** 2;
  }
  const scatter = Math.max(scatterFloor, Math.sqrt(squares / (n - 2)));
  const error = correlationFactor * scatter;
  return {
    slope,
    slopeError: error / Math.sqrt(stt),
    level: meanV + slope * (last - meanT),
    levelError: error * Math.sqrt(1 / n + (last - meanT) ** 2 / stt),
    scatter,
    count: n,
    spanHours: last - first,
  };
};
