/**
 * Numbers as a person at the vessel says them: durations, gravity points, pressures, temperatures.
 * Used by every evidence text, so that one quantity reads the same everywhere. Pure: no I/O, no clock.
 */

const minute = 60;
const hour = 3600;
const day = 86_400;

/** "40 min", "7 h", "3.5 days". */
export const duration = (seconds: number): string => {
  const span = Math.max(0, seconds);
  if (span < 1.5 * hour) return `${Math.round(span / minute)} min`;
  if (span < 10 * hour) return `${trim(span / hour, 1)} h`;
  if (span < 72 * hour) return `${Math.round(span / hour)} h`;
  return `${trim(span / day, 1)} days`;
};

/** A difference of gravity in points of 0.001: "0.3 points". */
export const points = (gravityDifference: number): string => {
  const count = trim(gravityDifference * 1000, 1);
  return `${count} ${count === '1' ? 'point' : 'points'}`;
};

export const gravity = (value: number): string => value.toFixed(4);

/** Gauge pressure in bar, with its kilopascals. */
export const gaugePressure = (pascal: number): string =>
  `${(pascal / 1e5).toFixed(2)} bar (${Math.round(pascal / 1000)} kPa)`;

export const celsius = (value: number): string => `${trim(value, 1)} °C`;

export const percent = (share: number): string => `${Math.round(share * 100)} %`;

export const trim = (value: number, digits: number): string => {
  const text = value.toFixed(digits);
  const short = text.includes('.') ? text.replace(/\.?0+$/, '') : text;
  return short === '-0' ? '0' : short;
};
