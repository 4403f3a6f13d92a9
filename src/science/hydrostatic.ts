/**
 * The pressure that a column of liquid adds below its surface: p = rho g h. A gauge on the head reads less
 * than one at the bottom outlet by this much, and gas dissolves to a little more at the bottom.
 * g is the standard acceleration (CGPM 1901); its local change of 0.3 % is dropped.
 * Pure: no I/O, no clock, no randomness.
 */
import { fail, ok, type Result } from '../result.ts';
import { firstOutside, type ScienceFault } from './fault.ts';

const standardGravity = 9.80665;

export const hydrostaticPressurePascal = (
  depthMetre: number,
  densityKilogramPerCubicMetre: number,
): Result<number, ScienceFault> => {
  const fault = firstOutside([
    ['depthMetre', depthMetre, 0, 30, 'm'],
    ['densityKilogramPerCubicMetre', densityKilogramPerCubicMetre, 700, 1400, 'kg/m3'],
  ]);
  return fault ? fail(fault) : ok(densityKilogramPerCubicMetre * standardGravity * depthMetre);
};
