/**
 * How finely a chart tells each channel. Chosen by us: a tenth or less of what a good sensor of the
 * channel resolves, so that the drawing does not change and the answer is short. Stored values and
 * exports are exact; only the chart rounds. Pure.
 */
import type { Channel } from '../science/units/channel.ts';

/** Digits after the point, in the channel's stored unit. */
const digits = {
  temperature: 2,
  gravity: 5,
  density: 2,
  'gauge-pressure': 0,
  'absolute-pressure': 0,
  'gas-flow': 9,
  ph: 2,
  'carbon-dioxide': 0,
  oxygen: 5,
  humidity: 1,
  mass: 3,
} as const satisfies Record<Channel, number>;

export const chartRounding = (channel: Channel): ((value: number) => number) => {
  const power = 10 ** digits[channel];
  return (value) => Math.round(value * power) / power + 0;
};
