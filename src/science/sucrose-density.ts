/**
 * Density of aqueous sucrose, the scale on which extract (°P, mass %) is defined.
 *
 * Source: ICUMSA Specification SPS-4 (1998), polynomial of H. Bettin, F. Emmerich, F. Spieweck and
 * H. Toche, PTB: rho(w,t) = rho_water(t) + sum a_ik w^k ((t-20)/100)^i, with the water density of
 * G. S. Kell, J. Chem. Eng. Data 20 (1975) 97, ITS-90 form. Valid for w 0 to 0.85 and 0 to 80 °C; used
 * here from 0 to 0.65 and 0 to 40 °C, where it is checked against published tables.
 * Dropped: nothing. Wort is not pure sucrose; the trade's tables agree to read it as if it were.
 * Pure: no I/O, no clock, no randomness.
 */
import { fail, ok, type Result } from '../result.ts';
import { firstOutside, type ScienceFault } from './fault.ts';

/** Row i holds the coefficients of ((t-20)/100)^i, column k those of w^(k+1), in kg/m3. */
const coefficients = [
  [385.1761, 135.3705, 40.9299, -3.9643, 13.4853, -17.289],
  [-46.272, -7.172, 1.1597, 5.1126, 17.5254],
  [59.7712, 7.2491, 12.363, -35.4791],
  [-47.2207, -21.6977, 27.6301],
  [18.3184, 12.3081],
] as const;

/** Air density in which hydrometers and pycnometers are read, kg/m3: 20 °C, 1013 hPa, 50 % humidity. */
const airDensity = 1.2;

/** Density of air-free water in kg/m3, 0 to 80 °C. The caller has checked the range. */
export const waterDensityAt = (temperatureCelsius: number): number => {
  const t = temperatureCelsius;
  const numerator =
    999.83952 +
    t *
      (16.952577 +
        t * (-7.9905127e-3 + t * (-46.241757e-6 + t * (105.84601e-9 - 281.03006e-12 * t))));
  return numerator / (1 + 16.887236e-3 * t);
};

/** Density in vacuo in kg/m3. The caller has checked the range. */
export const sucroseDensityAt = (extractPlato: number, temperatureCelsius: number): number => {
  const w = extractPlato / 100;
  const theta = (temperatureCelsius - 20) / 100;
  let sum = 0;
  let thetaPower = 1;
  for (const row of coefficients) {
    let inner = 0;
    for (let k = row.length - 1; k >= 0; k -= 1) inner = (inner + (row[k] ?? 0)) * w;
    sum += inner * thetaPower;
    thetaPower *= theta;
  }
  return waterDensityAt(temperatureCelsius) + sum;
};

const outside = (extractPlato: number, temperatureCelsius: number): ScienceFault | null =>
  firstOutside([
    ['extractPlato', extractPlato, 0, 65, '°P'],
    ['temperatureCelsius', temperatureCelsius, 0, 40, '°C'],
  ]);

/** Density of a sucrose solution in vacuo, kg/m3. Within 0.01 kg/m3 of the polynomial's own table. */
export const sucroseDensity = (
  extractPlato: number,
  temperatureCelsius: number,
): Result<number, ScienceFault> => {
  const fault = outside(extractPlato, temperatureCelsius);
  return fault ? fail(fault) : ok(sucroseDensityAt(extractPlato, temperatureCelsius));
};

/**
 * Apparent density: what a weighing in air of density 1.2 kg/m3 gives when the buoyancy on the
 * weights is left out, as the trade's specific gravity tables have it.
 */
export const sucroseDensityInAir = (
  extractPlato: number,
  temperatureCelsius: number,
): Result<number, ScienceFault> => {
  const fault = outside(extractPlato, temperatureCelsius);
  return fault ? fail(fault) : ok(sucroseDensityAt(extractPlato, temperatureCelsius) - airDensity);
};

/** Apparent specific gravity 20/20 (both weighed in air) from a density in vacuo at 20 °C. */
export const gravityFromDensityAt20 = (densityAt20: number): number =>
  (densityAt20 - airDensity) / (waterDensityAt(20) - airDensity);

/** Density in vacuo at 20 °C, kg/m3, from an apparent specific gravity 20/20. */
export const densityAt20FromGravity = (gravity: number): number =>
  gravity * (waterDensityAt(20) - airDensity) + airDensity;
