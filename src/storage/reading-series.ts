/** Readings as they arrive, mixed, sorted into one ascending series per channel and back. Pure. */
import type { Channel } from '../science/units/channel.ts';
import type { Points } from './packed/points.ts';

export type StoredReading = {
  readonly channel: Channel;
  /** Unix seconds. */
  readonly time: number;
  readonly value: number;
};

/** Adding zero turns -0 into 0: the sign of a zero is the noise of rounding and is not kept. */
const plain = (value: number): number => value + 0;

/** Readings of the same channel and time stay in the order in which they came. */
export const seriesOf = (readings: readonly StoredReading[]): ReadonlyMap<Channel, Points> => {
  const series = new Map<Channel, Points>();
  for (const [channel, own] of Map.groupBy(readings, (reading) => reading.channel))
    series.set(
      channel,
      ascending({
        times: Float64Array.from(own, ({ time }) => time),
        values: Float64Array.from(own, ({ value }) => value),
      }),
    );
  return series;
};

/** The same points in order of time. Throws at a number that is none: the caller has checked them. */
export const ascending = ({ times, values }: Points): Points => {
  if (times.length !== values.length)
    throw new RangeError(`${times.length} times came with ${values.length} values`);
  let sorted = true;
  for (const [index, time] of times.entries()) {
    if (!Number.isFinite(time) || !Number.isFinite(values[index]))
      throw new RangeError(`reading ${index} is ${values[index]} at ${time}: not a finite number`);
    if (index > 0 && time < (times[index - 1] ?? time)) sorted = false;
  }
  if (sorted) return { times, values: values.map(plain) };
  const order = [...times.keys()].sort((one, other) => (times[one] ?? 0) - (times[other] ?? 0));
  return {
    times: Float64Array.from(order, (index) => times[index] ?? 0),
    values: Float64Array.from(order, (index) => plain(values[index] ?? 0)),
  };
};
