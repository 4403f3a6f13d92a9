/**
 * Carbon dioxide as a real gas: density and fugacity by the second virial coefficient.
 *
 * Source: p V = n R T (1 + B p / R T), with B(T) of R. F. Weiss, Marine Chemistry 2 (1974) 203,
 * equation 6: B = -1636.75 + 12.0408 T - 0.0327957 T2 + 3.16528e-5 T3 cm3/mol, 265 to 320 K.
 * Dropped: the third coefficient; against the Span and Wagner equation of state the density is right
 * to 0.1 % up to 6 bar. Pure: no I/O, no clock, no randomness.
 */
import { fail, ok, type Result } from '../result.ts';
import { firstOutside, type ScienceFault } from './fault.ts';

/** Molar gas constant, J/(mol K): exact since the SI of 2019. */
export const gasConstant = 8.314462618;
/** Molar mass of carbon dioxide, g/mol (IUPAC 2013 conventional atomic weights). */
export const carbonDioxideMolarMass = 44.0095;
export const zeroCelsiusKelvin = 273.15;
/** The standard atmosphere, Pa. */
export const standardAtmosphere = 101_325;

/** Second virial coefficient in m3/mol. The caller has checked the range. */
export const secondVirialAt = (temperatureCelsius: number): number => {
  const t = temperatureCelsius + zeroCelsiusKelvin;
  return 1e-6 * (-1636.75 + t * (12.0408 + t * (-0.0327957 + t * 3.16528e-5)));
};

/** Compressibility factor. The caller has checked the range. */
export const compressibilityAt = (pressurePascal: number, temperatureCelsius: number): number =>
  1 +
  (secondVirialAt(temperatureCelsius) * pressurePascal) /
    (gasConstant * (temperatureCelsius + zeroCelsiusKelvin));

/** Fugacity in pascal. The caller has checked the range. */
export const fugacityAt = (pressurePascal: number, temperatureCelsius: number): number =>
  pressurePascal * Math.exp(compressibilityAt(pressurePascal, temperatureCelsius) - 1);

/** Grams per litre of gas space. The caller has checked the range. */
export const gasDensityAt = (pressurePascal: number, temperatureCelsius: number): number =>
  (pressurePascal * carbonDioxideMolarMass * 1e-3) /
  (compressibilityAt(pressurePascal, temperatureCelsius) *
    gasConstant *
    (temperatureCelsius + zeroCelsiusKelvin));

/** Density of pure carbon dioxide gas in g/L, -5 to 45 °C and up to 1.2 MPa. */
export const carbonDioxideGasDensity = (
  pressurePascal: number,
  temperatureCelsius: number,
): Result<number, ScienceFault> => {
  const fault = firstOutside([
    ['pressurePascal', pressurePascal, 0, 1_200_000, 'Pa'],
    ['temperatureCelsius', temperatureCelsius, -5, 45, '°C'],
  ]);
  return fault ? fail(fault) : ok(gasDensityAt(pressurePascal, temperatureCelsius));
};
