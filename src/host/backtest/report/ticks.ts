/** Where an axis is ticked: values at round steps, times at round hours and days of a zone. Pure: no I/O, no clock. */
import type { Zone } from './when.ts';

/** Round values inside a range, about as many as wanted: steps of 1, 2 or 5 times a power of ten. */
export const valueTicks = (low: number, high: number, wanted: number): readonly number[] => {
  const rough = (high - low) / wanted;
  const power = 10 ** Math.floor(Math.log10(rough));
  const away = (factor: number): number => Math.abs(Math.log((factor * power) / rough));
  const step = [1, 2, 5, 10].reduce((a, b) => (away(b) < away(a) ? b : a)) * power;
  const ticks: number[] = [];
  for (let index = Math.ceil(low / step); index * step <= high; index += 1) {
    ticks.push(Number((index * step).toPrecision(10)));
  }
  return ticks;
};

export type TimeTick = {
  /** Unix seconds. */
  readonly at: number;
  readonly words: string;
  /** False for a tick whose words stand only where there is room for many. */
  readonly always: boolean;
};

const hour = 3600;
const day = 86_400;

/** Steps that meet midnight again and again. */
const steps = [
  hour,
  2 * hour,
  3 * hour,
  6 * hour,
  12 * hour,
  day,
  2 * day,
  7 * day,
  14 * day,
  28 * day,
  84 * day,
  364 * day,
];

/** Words on a wide sheet, and on a phone. Chosen by us: a label is as wide as "28 Nov" and a gap. */
const mostWide = 12;
const mostNarrow = 5;

export const timeTicks = (begins: number, ends: number, zone: Zone): readonly TimeTick[] => {
  const span = Math.max(1, ends - begins);
  const step = steps.find((one) => span / one <= mostWide) ?? span / mostWide;
  const first = Math.ceil((begins + zone.offsetSeconds) / step) * step - zone.offsetSeconds;
  const count = Math.floor((ends - first) / step) + 1;
  const every = Math.max(1, Math.ceil(count / mostNarrow));
  return Array.from({ length: Math.max(0, count) }, (_none, index) => {
    const at = first + index * step;
    const midnight = (at + zone.offsetSeconds) % day === 0;
    return { at, words: midnight ? zone.day(at) : zone.clock(at), always: index % every === 0 };
  });
};
