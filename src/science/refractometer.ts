/**
 * A refractometer's reading as extract, also when alcohol is present.
 *
 * Refractive index at 20 °C and 589 nm: cubics fitted here to published tables, sucrose 0 to 40 mass %
 * (CRC Handbook 102nd ed., 35 rows, and OIV Oeno 21/2004 table II, 11 rows; within 6e-5, the tables' own
 * rounding) and ethanol 0 to 24 mass % (CRC, 22 rows; within 6e-5). In a fermented sample both add:
 * n = n(extract) + n(alcohol) - n(water), the simplest mixing rule (assumption: no published table of
 * sucrose and ethanol together was found). Balling's balance ties the alcohol to the original extract, so
 * one reading and the original extract give the real extract. Worts hold less sucrose than the scale
 * assumes and read high by 0 to 6 % (common practice, no source): `wortFactor` divides that out.
 * Off 20 °C: OIV compendium, table I, 5 to 20 °C, for an instrument that does not compensate by itself;
 * a cold sample reads high. No published row above 20 °C was found, so warmer samples are refused.
 * Pure: no I/O, no clock, no randomness.
 */
import { fail, ok, type Result } from '../result.ts';
import { alcoholAt } from './balling.ts';
import { firstOutside, type ScienceFault } from './fault.ts';

const waterIndex = 1.33299;
const sucroseCubic = [1.427296e-3, 5.424565e-6, 1.763142e-8] as const;
const ethanolCubic = [5.578766e-4, 1.219246e-5, -2.606061e-7] as const;

type Cubic = readonly [number, number, number];

const rise = ([first, second, third]: Cubic, massPercent: number): number =>
  massPercent * (first + massPercent * (second + massPercent * third));

/** Refractive index of a drink at 20 °C, 589 nm. */
export const refractiveIndex = (
  extractMassPercent: number,
  alcoholMassPercent: number,
): Result<number, ScienceFault> => {
  const fault = firstOutside([
    ['extractMassPercent', extractMassPercent, 0, 40, 'mass %'],
    ['alcoholMassPercent', alcoholMassPercent, 0, 24, 'mass %'],
  ]);
  return fault
    ? fail(fault)
    : ok(
        waterIndex +
          rise(sucroseCubic, extractMassPercent) +
          rise(ethanolCubic, alcoholMassPercent),
      );
};

export type RefractometerReading = {
  /** What the sugar scale shows, mass % of sucrose. */
  readonly readingBrix: number;
  /** Extract before fermentation, by hydrometer. */
  readonly originalExtractPlato: number;
  /** Reading of the same unfermented wort over its extract by hydrometer; 1 for pure sucrose. */
  readonly wortFactor: number;
};

export type RefractometerResult = {
  readonly realExtractPlato: number;
  readonly alcoholMassPercent: number;
};

/** Real extract and alcohol of a fermenting or fermented sample. */
export const extractFromRefractometer = (
  reading: RefractometerReading,
): Result<RefractometerResult, ScienceFault> => {
  const fault = firstOutside([
    ['readingBrix', reading.readingBrix, 0, 35, '°Bx'],
    ['originalExtractPlato', reading.originalExtractPlato, 1, 35, '°P'],
    ['wortFactor', reading.wortFactor, 0.95, 1.1, ''],
  ]);
  if (fault) return fail(fault);
  const original = reading.originalExtractPlato;
  const target = rise(sucroseCubic, reading.readingBrix / reading.wortFactor);
  const surplus = (real: number): number =>
    rise(sucroseCubic, real) + rise(ethanolCubic, alcoholAt(original, real)) - target;
  const contradiction = (reason: string): Result<never, ScienceFault> =>
    fail({
      kind: 'contradiction',
      field: 'readingBrix',
      value: reading.readingBrix,
      against: 'originalExtractPlato',
      againstValue: original,
      unit: '°Bx',
      reason,
    });
  // A reading may top the original extract by the play of the two instruments: 0.2 °Bx.
  if (surplus(original) < -3e-4) {
    return contradiction('it lies above the original extract; check the zero and the wort factor');
  }
  if (surplus(0) > 0) {
    return contradiction('it lies below what the alcohol alone would show; check both readings');
  }
  // The index rises with real extract throughout: sugar gives 2.3 times what its alcohol takes back.
  let low = 0;
  let high = original;
  for (let round = 0; round < 60; round += 1) {
    const middle = (low + high) / 2;
    if (surplus(middle) < 0) low = middle;
    else high = middle;
  }
  const real = (low + high) / 2;
  return ok({ realExtractPlato: real, alcoholMassPercent: alcoholAt(original, real) });
};

/** OIV compendium, table I: to add to the reading, for readings of 10, 15, 20, 25 and 30 mass %. */
const correctionReadings = [10, 15, 20, 25, 30] as const;
const correctionRows: readonly (readonly [temperature: number, ...corrections: number[]])[] = [
  [5, -0.82, -0.87, -0.92, -0.95, -0.99],
  [6, -0.8, -0.82, -0.87, -0.9, -0.94],
  [7, -0.74, -0.78, -0.82, -0.84, -0.88],
  [8, -0.69, -0.73, -0.76, -0.79, -0.82],
  [9, -0.64, -0.67, -0.71, -0.73, -0.75],
  [10, -0.59, -0.62, -0.65, -0.67, -0.69],
  [11, -0.54, -0.57, -0.59, -0.61, -0.63],
  [12, -0.49, -0.51, -0.53, -0.55, -0.56],
  [13, -0.43, -0.45, -0.47, -0.48, -0.5],
  [14, -0.38, -0.39, -0.4, -0.42, -0.43],
  [15, -0.32, -0.33, -0.34, -0.35, -0.36],
  [16, -0.26, -0.27, -0.28, -0.28, -0.29],
  [17, -0.2, -0.2, -0.21, -0.21, -0.22],
  [20, 0, 0, 0, 0, 0],
];

/** Position of a value in ascending knots: index of the knot below it and the share of the gap. */
const place = (knots: readonly number[], value: number): readonly [number, number] => {
  let below = 0;
  while (below < knots.length - 2 && (knots[below + 1] ?? Number.POSITIVE_INFINITY) < value) {
    below += 1;
  }
  const from = knots[below] ?? 0;
  const to = knots[below + 1] ?? from + 1;
  return [below, Math.min(1, Math.max(0, (value - from) / (to - from)))];
};

/**
 * A sugar-scale reading taken at 5 to 20 °C, brought to 20 °C, by linear interpolation in the table.
 * Readings below 10 mass % use the column for 10 (the correction changes by 0.03 in five).
 */
export const brixAt20 = (
  readingBrix: number,
  sampleTemperatureCelsius: number,
): Result<number, ScienceFault> => {
  const fault = firstOutside([
    ['readingBrix', readingBrix, 0, 30, '°Bx'],
    ['sampleTemperatureCelsius', sampleTemperatureCelsius, 5, 20, '°C'],
  ]);
  if (fault) return fail(fault);
  const [row, rowShare] = place(
    correctionRows.map(([temperature]) => temperature),
    sampleTemperatureCelsius,
  );
  const [column, columnShare] = place(correctionReadings, readingBrix);
  const cell = (r: number, c: number): number => correctionRows[r]?.[c + 1] ?? 0;
  const across = (r: number): number =>
    cell(r, column) + columnShare * (cell(r, column + 1) - cell(r, column));
  return ok(readingBrix + across(row) + rowShare * (across(row + 1) - across(row)));
};
