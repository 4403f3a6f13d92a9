/**
 * Apparent specific gravity 20/20 and degrees Brix after the sugar table of the United States National
 * Bureau of Standards.
 *
 * Source: NBS Circular C440 (1942), table 114, in the fit
 * Bx = 182.4601 S3 - 775.6821 S2 + 1262.7794 S - 669.5622, valid up to S = 1.17874 (40 °Bx), whose own
 * rms departure from the table is 0.0009 °Bx. It starts at 0 °Bx; apparent extract below zero is left
 * to the ASBC cubic (gravity.ts). Pure: no I/O, no clock, no randomness.
 */
import { fail, ok, type Result } from '../result.ts';
import { firstOutside, type ScienceFault } from './fault.ts';

const lowestGravity = 0.9999;
const highestGravity = 1.17874;

const brixAt = (gravity: number): number =>
  -669.5622 + gravity * (1262.7794 + gravity * (-775.6821 + gravity * 182.4601));

const slopeAt = (gravity: number): number =>
  1262.7794 + gravity * (-2 * 775.6821 + gravity * 3 * 182.4601);

export const brixFromGravity = (gravity: number): Result<number, ScienceFault> => {
  const fault = firstOutside([['gravity', gravity, lowestGravity, highestGravity, 'SG 20/20']]);
  return fault ? fail(fault) : ok(brixAt(gravity));
};

export const gravityFromBrix = (brix: number): Result<number, ScienceFault> => {
  const fault = firstOutside([
    ['brix', brix, brixAt(lowestGravity), brixAt(highestGravity), '°Bx'],
  ]);
  if (fault) return fail(fault);
  let gravity = 1 + brix / 240;
  // Newton from two correct digits: five rounds reach the last bit.
  for (let round = 0; round < 5; round += 1) {
    gravity -= (brixAt(gravity) - brix) / slopeAt(gravity);
  }
  return ok(gravity);
};
