/**
 * Fourteen days of a fermenter at one reading a minute on four channels, as a gateway sends them:
 * sixty readings in a pack every fifteen minutes. Courses are made up, digits and noise are those of
 * ordinary sensors: 0.01 °C, 0.0001 of gravity, 10 Pa, 0.01 pH.
 */
import type { StoredReading } from '../../src/storage/reading-table.ts';

export const fortnightMinutes = 14 * 24 * 60;
export const packMinutes = 15;

/** Noise without a random number: the fraction of a fast sine, from -0.5 to 0.5. */
const noise = (index: number): number => {
  const wave = Math.sin(index * 12.9898) * 43_758.5453;
  return wave - Math.floor(wave) - 0.5;
};

const decimals = (value: number, digits: number): number => Number(value.toFixed(digits));

const minute = (begin: number, index: number): readonly StoredReading[] => {
  const time = begin + 60 * index;
  const done = 1 / (1 + Math.exp(-(index - 4000) / 900));
  return [
    {
      channel: 'temperature',
      time,
      value: decimals(19 + 1.5 * done * (1 - done) * 4 + 0.08 * noise(index), 2),
    },
    {
      channel: 'gravity',
      time,
      value: decimals(1.052 - 0.041 * done + 0.0006 * noise(index + 7), 4),
    },
    {
      channel: 'gauge-pressure',
      time,
      value: 10 * Math.round(900 * done + 20 * noise(index + 99)),
    },
    { channel: 'ph', time, value: decimals(5.2 - 0.9 * done + 0.06 * noise(index + 333), 2) },
  ];
};

/** The pack that is sent when its last minute is over. */
export const packOf = (begin: number, pack: number): readonly StoredReading[] =>
  Array.from({ length: packMinutes }, (_, index) =>
    minute(begin, pack * packMinutes + index),
  ).flat();

export const packCount = fortnightMinutes / packMinutes;
