/**
 * Alcohol and real extract from original and apparent extract.
 *
 * Source: C. J. N. Balling's balance, as restated by Nielsen, Kristiansen, Krieger Lassen and
 * Erikstrøm, "Balling's Formula - scrutiny of a brewing dogma": 2.0665 g extract give 1 g alcohol,
 * 0.9565 g carbon dioxide and 0.11 g yeast dry matter, so
 * OE = 100 (2.0665 A + E) / (100 + 1.0665 A), whence A = (OE - E) / (2.0665 - 0.010665 OE).
 * Real extract from the apparent one: E = 0.1808 OE + 0.8192 AE (attenuation quotient 0.8192; MEBAK
 * B-590.80.530 gives 0.81), a fit for beers of 8 to 20 °P; the paper reports 14.4 calculated against
 * 14.3 °P measured. Pure: no I/O, no clock, no randomness.
 */
import { fail, ok, type Result } from '../result.ts';
import { firstOutside, type ScienceFault } from './fault.ts';

/** Grams of extract consumed, and of carbon dioxide and yeast formed, per gram of alcohol. */
export const extractPerAlcohol = 2.0665;
export const carbonDioxidePerAlcohol = 0.9565;
export const yeastPerAlcohol = 0.11;
/** Grams of carbon dioxide per gram of real extract fermented: 0.46286. */
export const carbonDioxidePerExtract = carbonDioxidePerAlcohol / extractPerAlcohol;
/** Grams of alcohol per gram of real extract fermented: 0.48391. */
export const alcoholPerExtract = 1 / extractPerAlcohol;

const originalShare = 0.1808;

export type BallingInput = {
  readonly originalExtractPlato: number;
  readonly apparentExtractPlato: number;
};

export type Attenuated = {
  readonly realExtractPlato: number;
  readonly alcoholMassPercent: number;
  /** Fractions 0 to 1. */
  readonly apparentAttenuation: number;
  readonly realAttenuation: number;
  /** Real degree of fermentation after ASBC Beer-6, which counts the loss of mass. */
  readonly realDegreeOfFermentation: number;
};

/**
 * The alcohol, in mass %, of a drink whose real extract fell from one value to another. The bound at zero
 * takes off the last bit of rounding where nothing has fermented.
 */
export const alcoholAt = (originalExtractPlato: number, realExtractPlato: number): number =>
  Math.max(0, originalExtractPlato - realExtractPlato) /
  (extractPerAlcohol - 0.01 * (extractPerAlcohol - 1) * originalExtractPlato);

/** The extract before fermentation, from what is found after it. */
export const originalExtractFrom = (alcoholMassPercent: number, realExtractPlato: number): number =>
  (100 * (extractPerAlcohol * alcoholMassPercent + realExtractPlato)) /
  (100 + (extractPerAlcohol - 1) * alcoholMassPercent);

/** Everything Balling's balance says of an original and an apparent extract. */
export const attenuated = (input: BallingInput): Result<Attenuated, ScienceFault> => {
  const original = input.originalExtractPlato;
  // Rounding in the last digits of two gravities is no rise of extract.
  const apparent =
    Math.abs(input.apparentExtractPlato - original) < 1e-9 ? original : input.apparentExtractPlato;
  const fault = firstOutside([
    ['originalExtractPlato', original, 1, 38, '°P'],
    ['apparentExtractPlato', apparent, -11, 38, '°P'],
  ]);
  if (fault) return fail(fault);
  if (apparent > original) {
    return fail({
      kind: 'contradiction',
      field: 'apparentExtractPlato',
      value: apparent,
      against: 'originalExtractPlato',
      againstValue: original,
      unit: '°P',
      reason: 'extract cannot rise by fermentation; check both, or enter the sugar added',
    });
  }
  const real = originalShare * original + (1 - originalShare) * apparent;
  if (real < 0) {
    return fail({
      kind: 'contradiction',
      field: 'apparentExtractPlato',
      value: apparent,
      against: 'originalExtractPlato',
      againstValue: original,
      unit: '°P',
      reason: 'the real extract would fall below zero; check both gravities',
    });
  }
  const realAttenuation = (original - real) / original;
  return ok({
    realExtractPlato: real,
    alcoholMassPercent: alcoholAt(original, real),
    apparentAttenuation: (original - apparent) / original,
    realAttenuation,
    realDegreeOfFermentation: realAttenuation / (1 - 0.005161 * real),
  });
};
