/**
 * Many readings made few: bins of equal width in time, each with one robust gravity.
 * Within a bin the readings are compared with a curve that carries the slope, so a bin may be wide.
 * Tukey's biweight about the median, one step: F. Mosteller, J. W. Tukey, Data Analysis and Regression,
 * Addison-Wesley 1977, section 10C (from memory).
 * Pure: no I/O, no clock, no randomness.
 */
import { quickselect } from 'simple-statistics';
import { robustSpread } from '../fit/spread.ts';

/** Readings `from[k]` up to `from[k + 1]` make bin k. Times ascend. */
export type Bins = { readonly from: Int32Array; readonly count: number };

/** More bins cost time and gain nothing: sixty see a curve of five parameters as well as a thousand. */
const mostBins = 60;

/** Equal widths over the time spanned; a reading a bin where there are few. Empty bins are left out. */
export const binsOf = (timesDays: Float64Array): Bins => {
  const readings = timesDays.length;
  const from = new Int32Array(Math.min(readings, mostBins) + 1);
  if (readings <= mostBins) {
    for (let i = 0; i <= readings; i += 1) from[i] = i;
    return { from, count: readings };
  }
  const first = timesDays[0] as number;
  const width = ((timesDays[readings - 1] as number) - first) / mostBins;
  let count = 0;
  let current = -1;
  for (let i = 0; i < readings; i += 1) {
    const bin =
      width > 0
        ? Math.min(mostBins - 1, Math.floor(((timesDays[i] as number) - first) / width))
        : 0;
    if (bin !== current) {
      from[count] = i;
      count += 1;
      current = bin;
    }
  }
  from[count] = readings;
  return { from: from.slice(0, count + 1), count };
};

const medianOf = (scratch: Float64Array, count: number): number => {
  if (count === 1) return scratch[0] as number;
  if (count === 2) return ((scratch[0] as number) + (scratch[1] as number)) / 2;
  const middle = count >> 1;
  quickselect(scratch as unknown as number[], middle, 0, count - 1);
  return scratch[middle] as number;
};

/** Median and mean time of each bin. */
export const binMedians = (
  bins: Bins,
  timesDays: Float64Array,
  values: Float64Array,
): { readonly times: Float64Array; readonly medians: Float64Array } => {
  const times = new Float64Array(bins.count);
  const medians = new Float64Array(bins.count);
  const scratch = new Float64Array(values.length);
  for (let k = 0; k < bins.count; k += 1) {
    const start = bins.from[k] as number;
    const count = (bins.from[k + 1] as number) - start;
    let time = 0;
    for (let i = 0; i < count; i += 1) {
      scratch[i] = values[start + i] as number;
      time += timesDays[start + i] as number;
    }
    times[k] = time / count;
    medians[k] = medianOf(scratch, count);
  }
  return { times, medians };
};

/** Assumption: a field sensor scatters by one point; counts for as much as four differences. */
const usualNoise = 0.001;
const usualWeight = 4;
/** Assumption: no sensor is better than a reading rounded to the nearest point (0.001 / √12). */
const noiseFloor = 0.0003;
/** Differences beyond this many robust standard deviations are faults, not noise. */
const noiseReach = 4;

/**
 * Standard deviation of one reading from the differences of neighbours, which a slow drift cannot inflate
 * (J. von Neumann, Ann. Math. Stat. 12 (1941) 367). The median difference finds the faults; the mean square of the
 * rest sees what the median cannot where readings are rounded. Few differences lean on what a sensor usually has.
 */
export const readingNoise = (residuals: Float64Array): number => {
  const differences = Math.max(0, residuals.length - 1);
  const scratch = new Float64Array(Math.max(1, differences));
  for (let i = 0; i < differences; i += 1) {
    scratch[i] = (residuals[i + 1] as number) - (residuals[i] as number);
  }
  const typical = Math.max(robustSpread(scratch, differences), usualNoise);
  let squares = 0;
  let used = 0;
  for (let i = 0; i < differences; i += 1) {
    const difference = scratch[i] as number;
    if (Math.abs(difference) > noiseReach * typical) continue;
    squares += difference * difference;
    used += 1;
  }
  const pooled = Math.sqrt(
    (squares / 2 + usualWeight * usualNoise * usualNoise) / (used + usualWeight),
  );
  return Math.max(noiseFloor, pooled);
};

/** Biweight tuning: a reading further than this many standard deviations from its bin counts for nothing. */
const reach = 5;

export type BinValues = {
  readonly times: Float64Array;
  readonly gravities: Float64Array;
  /** Readings that carry each bin, in effect. */
  readonly weights: Float64Array;
  /** Readings set aside: weight under one half. */
  readonly setAside: number;
};

/** Robust gravity of each bin: the curve at the bin's time plus the robust residual. */
export const binValues = (
  bins: Bins,
  timesDays: Float64Array,
  residuals: Float64Array,
  readingWeights: Float64Array | null,
  noise: number,
  curveAt: (timesDays: Float64Array, into: Float64Array) => void,
): BinValues => {
  const times = new Float64Array(bins.count);
  const gravities = new Float64Array(bins.count);
  const weights = new Float64Array(bins.count);
  const scratch = new Float64Array(residuals.length);
  const offsets = new Float64Array(bins.count);
  let setAside = 0;
  for (let k = 0; k < bins.count; k += 1) {
    const start = bins.from[k] as number;
    const end = bins.from[k + 1] as number;
    for (let i = start; i < end; i += 1) scratch[i - start] = residuals[i] as number;
    const median = medianOf(scratch, end - start);
    let weight = 0;
    let time = 0;
    let offset = 0;
    for (let i = start; i < end; i += 1) {
      const away = ((residuals[i] as number) - median) / (reach * noise);
      const left = Math.max(0, 1 - away * away);
      const share = left * left;
      if (share < 0.5) setAside += 1;
      const own = share * (readingWeights === null ? 1 : (readingWeights[i] as number));
      weight += own;
      time += own * (timesDays[i] as number);
      offset += own * (residuals[i] as number);
    }
    if (weight > 1e-9) {
      times[k] = time / weight;
      offsets[k] = offset / weight;
      weights[k] = weight;
    } else {
      times[k] = timesDays[start] as number;
      offsets[k] = median;
      weights[k] = 1e-9;
    }
  }
  curveAt(times, gravities);
  for (let k = 0; k < bins.count; k += 1) {
    gravities[k] = (gravities[k] as number) + (offsets[k] as number);
  }
  return { times, gravities, weights, setAside };
};
