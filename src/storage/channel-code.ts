/**
 * The number that stands for a channel in packed rows. Append-only: a number that was once written
 * means the same channel for ever, and a channel that joins the house takes the next one.
 */
import { type Channel, channelNames } from '../science/units/channel.ts';

const channelCodes = {
  temperature: 1,
  gravity: 2,
  density: 3,
  'gauge-pressure': 4,
  'absolute-pressure': 5,
  'gas-flow': 6,
  ph: 7,
  'carbon-dioxide': 8,
  oxygen: 9,
  humidity: 10,
  mass: 11,
} as const satisfies Record<Channel, number>;

const byCode = new Map<number, Channel>(channelNames.map((name) => [channelCodes[name], name]));

export const codeOf = (channel: Channel): number => channelCodes[channel];

export const channelOf = (code: number): Channel => {
  const channel = byCode.get(code);
  if (channel === undefined)
    throw new RangeError(`packed readings name an unknown channel ${code}`);
  return channel;
};
