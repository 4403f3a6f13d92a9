/**
 * Gauge and absolute pressure. A gauge reads against the air around it, which is not 101 325 Pa in the
 * hills: 1 kPa less for each 85 m, a tenth less at 900 m (ISO 2533 standard atmosphere, 1975:
 * p = 101 325 (1 - 2.25577e-5 h)^5.25588 up to 11 000 m). Pure: no I/O, no clock, no randomness.
 */
import { fail, ok, type Result } from '../../result.ts';
import { firstOutside, type ScienceFault } from '../fault.ts';

const outside = (pressure: number, ambientPressurePascal: number): ScienceFault | null =>
  firstOutside([
    ['pressurePascal', pressure, -110_000, 1e8, 'Pa'],
    ['ambientPressurePascal', ambientPressurePascal, 60_000, 110_000, 'Pa'],
  ]);

export const absoluteFromGauge = (
  gaugePressurePascal: number,
  ambientPressurePascal: number,
): Result<number, ScienceFault> => {
  const fault =
    outside(gaugePressurePascal, ambientPressurePascal) ??
    firstOutside([['gaugePressurePascal', gaugePressurePascal, -ambientPressurePascal, 1e8, 'Pa']]);
  return fault ? fail(fault) : ok(gaugePressurePascal + ambientPressurePascal);
};

export const gaugeFromAbsolute = (
  absolutePressurePascal: number,
  ambientPressurePascal: number,
): Result<number, ScienceFault> => {
  const fault =
    outside(absolutePressurePascal, ambientPressurePascal) ??
    firstOutside([['absolutePressurePascal', absolutePressurePascal, 0, 1e8, 'Pa']]);
  return fault ? fail(fault) : ok(absolutePressurePascal - ambientPressurePascal);
};

/** Air pressure to expect at a height above the sea; weather moves it by 3 %. */
export const ambientPressureAtHeight = (heightMetre: number): Result<number, ScienceFault> => {
  const fault = firstOutside([['heightMetre', heightMetre, -400, 4000, 'm']]);
  return fault ? fail(fault) : ok(101_325 * (1 - 2.25577e-5 * heightMetre) ** 5.25588);
};
