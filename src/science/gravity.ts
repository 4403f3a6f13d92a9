/**
 * Apparent specific gravity 20/20 and extract in °P (g per 100 g), both ways.
 *
 * Source: the cubic of the American Society of Brewing Chemists (ASBC Methods of Analysis, Wort-3),
 * P = -616.868 + 1111.14 S - 630.272 S2 + 135.997 S3, a fit of the Plato table; S is apparent, weighed
 * in air, which is how the table was made. Fitted from 0 to 30 °P. Below S = 1 it reads the apparent
 * extract of an attenuated drink, negative by the trade's convention; that end of the range, 0.96, and
 * the top, 1.17, are common practice. Inverse: Newton's iteration on the same cubic, so that a round
 * trip returns to 1e-12. Pure: no I/O, no clock, no randomness.
 */
import { fail, ok, type Result } from '../result.ts';
import { firstOutside, type ScienceFault } from './fault.ts';

/** Lowest gravity read: a dry fortified wine of 22 % vol stands near 0.98. */
const lowestGravity = 0.96;
/** 38.3 °P by the cubic; it departs from ICUMSA by 0.1 °P there. */
const highestGravity = 1.17;

/** Extract in °P. The caller has checked the range. */
export const extractAt = (gravity: number): number =>
  -616.868 + gravity * (1111.14 + gravity * (-630.272 + gravity * 135.997));

const slopeAt = (gravity: number): number =>
  1111.14 + gravity * (-2 * 630.272 + gravity * 3 * 135.997);

const lowestExtract = extractAt(lowestGravity);
const highestExtract = extractAt(highestGravity);

/** Apparent specific gravity 20/20. The caller has checked the range. */
export const gravityAt = (extractPlato: number): number => {
  let gravity = 1 + extractPlato / (258.6 - 0.87955 * extractPlato);
  // Newton doubles the digits each round from 4 correct: three rounds reach the last bit.
  for (let round = 0; round < 4; round += 1) {
    gravity -= (extractAt(gravity) - extractPlato) / slopeAt(gravity);
  }
  return gravity;
};

/** Apparent (or original) extract in °P from an apparent specific gravity 20/20. */
export const extractFromGravity = (gravity: number): Result<number, ScienceFault> => {
  const fault = firstOutside([['gravity', gravity, lowestGravity, highestGravity, 'SG 20/20']]);
  return fault ? fail(fault) : ok(extractAt(gravity));
};

/** Apparent specific gravity 20/20 from an extract in °P: the exact inverse. */
export const gravityFromExtract = (extractPlato: number): Result<number, ScienceFault> => {
  const fault = firstOutside([['extractPlato', extractPlato, lowestExtract, highestExtract, '°P']]);
  return fault ? fail(fault) : ok(gravityAt(extractPlato));
};
