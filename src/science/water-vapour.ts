/**
 * Vapour pressure of water, the part of a head pressure that is not carbon dioxide.
 *
 * Source: W. Wagner and A. Pruss, J. Phys. Chem. Ref. Data 22 (1993) 783, equation 1 (IAPWS SR1-86).
 * Valid 273.16 to 647.096 K; uncertainty 0.03 % here. Below 0 °C it stands for undercooled liquid and is
 * used to -5 °C, the freezing point of a strong drink (assumption; the pressure is 0.4 kPa there).
 * Pure: no I/O, no clock, no randomness.
 */
import { fail, ok, type Result } from '../result.ts';
import { firstOutside, type ScienceFault } from './fault.ts';

const criticalKelvin = 647.096;
const criticalPascal = 22.064e6;

/** Saturation pressure in pascal. The caller has checked the range. */
export const waterVapourPressureAt = (temperatureCelsius: number): number => {
  const kelvin = temperatureCelsius + 273.15;
  const tau = 1 - kelvin / criticalKelvin;
  const root = Math.sqrt(tau);
  const sum =
    tau *
    (-7.85951783 +
      1.84408259 * root +
      tau *
        tau *
        (-11.7866497 +
          22.6807411 * root +
          tau * (-15.9618719 + 1.80122502 * tau * tau * tau * root)));
  return criticalPascal * Math.exp((criticalKelvin / kelvin) * sum);
};

export const waterVapourPressurePascal = (
  temperatureCelsius: number,
): Result<number, ScienceFault> => {
  const fault = firstOutside([['temperatureCelsius', temperatureCelsius, -5, 100, '°C']]);
  return fault ? fail(fault) : ok(waterVapourPressureAt(temperatureCelsius));
};
