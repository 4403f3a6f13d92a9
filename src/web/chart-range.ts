/** The span of values that a panel of a chart shows, in the unit it is shown in. Pure: no I/O, no clock. */
import type { Channel } from '../science/units/channel.ts';

/**
 * The least that a panel spans, so that a sensor's noise does not look like a course. Chosen by us: 6 points, 2 °C and
 * 0.2 bar, an ordinary day of each.
 */
const leastSpan: Partial<Record<Channel, number>> = {
  gravity: 0.006,
  temperature: 2,
  'gauge-pressure': 0.2,
};

/** Lowest and highest; a little more room above than below, where limits are named. */
export const chartRange = (
  channel: Channel,
  values: readonly number[],
): readonly [number, number] => {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const value of values) {
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  if (channel === 'gauge-pressure') low = Math.min(low, 0);
  const span = Math.max(high - low, leastSpan[channel] ?? Math.abs(high) * 0.02, 1e-6);
  const middle = (high + low) / 2;
  return [middle - span * 0.56, middle + span * 0.6];
};
