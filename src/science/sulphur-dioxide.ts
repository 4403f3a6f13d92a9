/**
 * Molecular sulphur dioxide, the part of the free that protects a wine, from pH.
 *
 * fraction = 1 / (1 + 10^(pH - pK)), OIV-MA-AS323-04C equation 1. For pK the trade uses 1.81 (water,
 * 20 °C). OIV table I gives the thermodynamic constant with alcohol and temperature, 1.798 in water at
 * 20 °C to 2.728 at 15 % vol and 40 °C; the true value in a wine lies between, as its salts pull the
 * constant back (OIV takes an ionic strength of 0.038; its table II was not to be had). So the fraction
 * by 1.81 is the careful end, which everything here decides on, and the other end is given beside it.
 * Target 0.5 to 0.8 mg/L molecular: common practice. Pure: no I/O, no clock, no randomness.
 */
import { fail, ok, type Result } from '../result.ts';
import { firstOutside, type ScienceFault } from './fault.ts';

const tradeConstant = 1.81;

/** OIV-MA-AS323-04C, table I: rows 0, 5, 10, 15 % vol; columns 20, 25, 30, 35, 40 °C. */
const thermodynamicConstants = [
  [1.798, 2.0, 2.219, 2.334, 2.493],
  [1.897, 2.098, 2.299, 2.397, 2.527],
  [1.997, 2.198, 2.394, 2.488, 2.606],
  [2.099, 2.301, 2.503, 2.607, 2.728],
] as const;

const fractionAt = (pH: number, constant: number): number => 1 / (1 + 10 ** (pH - constant));

const pHBounds = (pH: number): ScienceFault | null => firstOutside([['pH', pH, 2.5, 4.5, 'pH']]);

/** Share of the free sulphur dioxide that is molecular, 0 to 1, by the trade's constant. */
export const molecularFraction = (pH: number): Result<number, ScienceFault> => {
  const fault = pHBounds(pH);
  return fault ? fail(fault) : ok(fractionAt(pH, tradeConstant));
};

/** The most that can be molecular at a strength and temperature: OIV table I, linear between its cells. */
export const greatestMolecularFraction = (
  pH: number,
  alcoholByVolumePercent: number,
  temperatureCelsius: number,
): Result<number, ScienceFault> => {
  const fault =
    pHBounds(pH) ??
    firstOutside([
      ['alcoholByVolumePercent', alcoholByVolumePercent, 0, 15, '% vol'],
      ['temperatureCelsius', temperatureCelsius, 20, 40, '°C'],
    ]);
  if (fault) return fail(fault);
  const row = Math.min(2, Math.floor(alcoholByVolumePercent / 5));
  const column = Math.min(3, Math.floor((temperatureCelsius - 20) / 5));
  const down = alcoholByVolumePercent / 5 - row;
  const across = (temperatureCelsius - 20) / 5 - column;
  const cell = (r: number, c: number): number => thermodynamicConstants[r]?.[c] ?? tradeConstant;
  const at = (r: number): number =>
    cell(r, column) + across * (cell(r, column + 1) - cell(r, column));
  return ok(fractionAt(pH, at(row) + down * (at(row + 1) - at(row))));
};

/** Molecular sulphur dioxide in mg/L. */
export const molecularSulphurDioxide = (
  freeMilligramPerLitre: number,
  pH: number,
): Result<number, ScienceFault> => {
  const fault = firstOutside([['freeMilligramPerLitre', freeMilligramPerLitre, 0, 400, 'mg/L']]);
  if (fault) return fail(fault);
  const fraction = molecularFraction(pH);
  return fraction.ok ? ok(freeMilligramPerLitre * fraction.value) : fraction;
};

/** Free sulphur dioxide, mg/L, that gives a molecular target at a pH. */
export const freeForMolecular = (
  molecularMilligramPerLitre: number,
  pH: number,
): Result<number, ScienceFault> => {
  const fault = firstOutside([
    ['molecularMilligramPerLitre', molecularMilligramPerLitre, 0, 3, 'mg/L'],
  ]);
  if (fault) return fail(fault);
  const fraction = molecularFraction(pH);
  return fraction.ok ? ok(molecularMilligramPerLitre / fraction.value) : fraction;
};
