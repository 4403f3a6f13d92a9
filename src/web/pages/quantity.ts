/**
 * Quantities as people of the trade read them: SG, °P, °C, bar gauge, litres, per cent. SI comes in,
 * text goes out; the number and its unit never part at a line's end. Pure: no I/O, no clock.
 */
import type { Channel } from '../../science/units/channel.ts';

/** Keeps a number and its unit on one line. */
const joint = '\u00a0';

type Shown = {
  /** Multiplies the stored value. */
  readonly scale: number;
  readonly decimals: number;
  /** Empty where the trade reads the bare number. */
  readonly unit: string;
};

/** How each channel is shown; decimals follow what the usual instruments resolve (common practice). */
export const shownAs = {
  temperature: { scale: 1, decimals: 1, unit: '°C' },
  gravity: { scale: 1, decimals: 4, unit: 'SG' },
  density: { scale: 1, decimals: 1, unit: 'kg/m³' },
  'gauge-pressure': { scale: 1e-5, decimals: 2, unit: 'bar' },
  'absolute-pressure': { scale: 1e-5, decimals: 2, unit: 'bar' },
  'gas-flow': { scale: 3.6e6, decimals: 1, unit: 'L/h' },
  ph: { scale: 1, decimals: 2, unit: 'pH' },
  'carbon-dioxide': { scale: 1, decimals: 0, unit: 'ppm' },
  oxygen: { scale: 100, decimals: 1, unit: '%' },
  humidity: { scale: 1, decimals: 0, unit: '%' },
  mass: { scale: 1, decimals: 1, unit: 'kg' },
} as const satisfies Record<Channel, Shown>;

/** Groups thousands with a thin space and sets a true minus sign. */
export const numberText = (value: number, decimals: number): string => {
  const [whole = '', part] = Math.abs(value).toFixed(decimals).split('.');
  const grouped = whole.replace(/\B(?=(?:\d{3})+$)/g, '\u202f');
  const digits = part === undefined ? grouped : `${grouped}.${part}`;
  return value < 0 && Number(value.toFixed(decimals)) !== 0 ? `\u2212${digits}` : digits;
};

const withUnit = (value: number, decimals: number, unit: string): string =>
  `${numberText(value, decimals)}${joint}${unit}`;

/** Gravity to the point, as it is spoken: 1.018. */
export const gravityText = (specificGravity: number): string => numberText(specificGravity, 3);

export const extractText = (extractPlato: number): string => withUnit(extractPlato, 1, '°P');

export const celsiusText = (temperatureCelsius: number): string =>
  withUnit(temperatureCelsius, 1, '°C');

export const barFigure = (pressurePascal: number): string => numberText(pressurePascal / 1e5, 2);

export const barText = (pressurePascal: number): string =>
  `${barFigure(pressurePascal)}${joint}bar`;

export const litreText = (volumeLitre: number): string =>
  withUnit(volumeLitre, volumeLitre < 10 ? 1 : 0, 'L');

export const percentText = (fraction: number, decimals = 0): string =>
  withUnit(fraction * 100, decimals, '%');

/** The bare figure of a channel's value in the unit it is shown in. */
export const channelFigure = (channel: Channel, value: number): string =>
  numberText(value * shownAs[channel].scale, shownAs[channel].decimals);

export const channelText = (channel: Channel, value: number): string =>
  `${channelFigure(channel, value)}${joint}${shownAs[channel].unit}`;
