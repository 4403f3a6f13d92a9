/**
 * What a vessel's sensors can say: each channel with the one unit in which it is stored and judged.
 * No I/O, no clock. The unit symbols are those of the SenML registry (RFC 8428 section 12.1, RFC 8798).
 */
export const channels = {
  /** Temperature of the liquid (of the air in a room). */
  temperature: { unit: 'Cel', lowest: -40, highest: 130 },
  /** Apparent specific gravity 20/20, a ratio of densities. */
  gravity: { unit: '/', lowest: 0.95, highest: 1.25 },
  /** Density at the measured temperature. */
  density: { unit: 'kg/m3', lowest: 700, highest: 1300 },
  /** Head pressure above the surrounding air. */
  'gauge-pressure': { unit: 'Pa', lowest: -101_325, highest: 2_000_000 },
  /** Head pressure against vacuum. */
  'absolute-pressure': { unit: 'Pa', lowest: 0, highest: 2_100_000 },
  /** Gas leaving the vessel, as volume at 20 °C and 1 atm. */
  'gas-flow': { unit: 'm3/s', lowest: 0, highest: 1 },
  ph: { unit: 'pH', lowest: 0, highest: 14 },
  /** Carbon dioxide in air, parts per million by volume. */
  'carbon-dioxide': { unit: 'ppm', lowest: 0, highest: 1_000_000 },
  /** Oxygen in air, volume fraction. */
  oxygen: { unit: '/', lowest: 0, highest: 1 },
  humidity: { unit: '%RH', lowest: 0, highest: 100 },
  mass: { unit: 'kg', lowest: 0, highest: 1_000_000 },
} as const satisfies Record<string, ChannelFacts>;

type ChannelFacts = {
  /** SenML symbol of the stored unit. */
  readonly unit: string;
  /** Bounds of what can physically be: a value outside is refused at the door. */
  readonly lowest: number;
  readonly highest: number;
};

export type Channel = keyof typeof channels;

export const channelNames = Object.keys(channels) as readonly Channel[];

export const isChannel = (name: string): name is Channel => Object.hasOwn(channels, name);
