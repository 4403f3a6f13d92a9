/**
 * The units in which a channel may be sent, and their conversion to the unit in which it is stored.
 * Symbols and factors are those of the SenML registries: primary units RFC 8428 section 12.1 and
 * RFC 8798 section 2, secondary units RFC 8798 section 3 (value × scale + offset). The offset of
 * kelvin is that of the Celsius scale (BIPM SI brochure, 9th edition, section 2.3.1).
 *
 * `%` is in the registry and refused here: it means the plain ratio, so that 1 is the whole, and a
 * sensor that sends 20.9 with it means something else. Bar, psi, °F and °P have no SenML symbol.
 * Pure: no I/O, no clock.
 */
import { type Channel, channels } from '../science/units/channel.ts';

type Conversion = { readonly scale: number; readonly offset: number };

const times = (scale: number): Conversion => ({ scale, offset: 0 });

const ratio = { '/': times(1), '/100': times(1e-2), '/1000': times(1e-3), ppm: times(1e-6) };
const pressure = { Pa: times(1), hPa: times(100) };

const conversions: Readonly<Record<Channel, Readonly<Record<string, Conversion>>>> = {
  temperature: { Cel: times(1), K: { scale: 1, offset: -273.15 } },
  gravity: { '/': times(1), '/1000': times(1e-3) },
  density: { 'kg/m3': times(1) },
  'gauge-pressure': pressure,
  'absolute-pressure': pressure,
  'gas-flow': { 'm3/s': times(1), 'l/s': times(1e-3) },
  ph: { pH: times(1) },
  'carbon-dioxide': { ppm: times(1), '/': times(1e6), '/100': times(1e4), '/1000': times(1e3) },
  oxygen: ratio,
  humidity: { '%RH': times(1) },
  mass: { kg: times(1), g: times(1e-3) },
};

/** Symbols a channel accepts, its stored unit first. */
export const acceptedUnits = (channel: Channel): readonly string[] =>
  Object.keys(conversions[channel]);

/**
 * The value in the channel's stored unit, or null where the unit is not accepted.
 *
 * A converted value is rounded to hide the noise of binary arithmetic (1024.1 hPa is 102410 Pa and
 * not 102409.99999999999): to 12 significant digits, or for kelvin to 9 decimals. Gyleward chose
 * both; a sensor gives 3 to 7 digits, and more would store the noise, which compresses badly.
 */
export const toStoredUnit = (channel: Channel, unit: string, value: number): number | null => {
  if (unit === channels[channel].unit) return value;
  const accepted = conversions[channel];
  const conversion = Object.hasOwn(accepted, unit) ? accepted[unit] : undefined;
  if (conversion === undefined) return null;
  const { scale, offset } = conversion;
  if (offset !== 0) return Number((value * scale + offset).toFixed(9)) + 0;
  return Number((value * scale).toPrecision(12));
};
