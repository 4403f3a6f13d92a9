/**
 * Density of a drink from its alcohol and its extract, and its expansion with temperature.
 *
 * At 20 °C: Tabarié's relation as OIV-MA-AS2-03B has it, d(drink) = d(alcohol and water of the same
 * % vol) + d(extract and water of the same g/L) - d(water), the extract counted as sucrose. Seen from
 * Balling's balance it amounts to an attenuation quotient near 0.805: beside MEBAK's 0.81 the apparent
 * extract of a beer comes out 0.02 to 0.08 °P lower, beside ASBC's 0.8192 0.1 to 0.3 °P lower.
 * Off 20 °C: the same sum by mass fractions gives the ratio of densities, used for expansion only.
 * Dropped: dissolved carbon dioxide, which swells the liquid by 0.8 mL per gram (assumption from a
 * partial molar volume near 33 mL/mol). Pure: no I/O, no clock, no randomness.
 */
import { fail, ok, type Result } from '../result.ts';
import { spiritDensityAt20 } from './alcohol.ts';
import { ethanolDensityAt, pureEthanolDensity } from './ethanol-density.ts';
import { firstOutside, type ScienceFault } from './fault.ts';
import { gravityFromDensityAt20, sucroseDensityAt, waterDensityAt } from './sucrose-density.ts';

/** What of a drink's composition its density and its gas depend on. */
export type Drink = {
  /** % vol at 20 °C. */
  readonly alcoholByVolumePercent: number;
  /** Real extract: everything dissolved that is neither alcohol nor gas. */
  readonly extractGramPerLitre: number;
};

/** Whatever may go into a blend: from water to neutral spirit, from water to a syrup of 65 °P. */
export const liquidBounds = (drink: Drink) =>
  [
    ['alcoholByVolumePercent', drink.alcoholByVolumePercent, 0, 100, '% vol'],
    ['extractGramPerLitre', drink.extractGramPerLitre, 0, 850, 'g/L'],
  ] as const;

/** What solubility.ts holds for: no spirits, no syrups. */
export const drinkBounds = (drink: Drink) =>
  [
    ['alcoholByVolumePercent', drink.alcoholByVolumePercent, 0, 25, '% vol'],
    ['extractGramPerLitre', drink.extractGramPerLitre, 0, 300, 'g/L'],
  ] as const;

/** Density at 20 °C of sucrose and water of a concentration in g/L. The caller has checked the range. */
export const syrupDensityAt20 = (extractGramPerLitre: number): number => {
  let density = 998.2 + 0.385 * extractGramPerLitre;
  // A hundred g/L move the density by 4 %: each round gains more than a digit.
  for (let round = 0; round < 40; round += 1) {
    const next = sucroseDensityAt((100 * extractGramPerLitre) / density, 20);
    if (Math.abs(next - density) < 1e-10) return next;
    density = next;
  }
  return density;
};

/** Density of a drink in vacuo at 20 °C, kg/m3. The caller has checked the range. */
export const drinkDensityAt20 = (drink: Drink): number =>
  syrupDensityAt20(drink.extractGramPerLitre) +
  spiritDensityAt20(drink.alcoholByVolumePercent) -
  waterDensityAt(20);

/** Density of a drink in vacuo at 20 °C, kg/m3. */
export const drinkDensity = (drink: Drink): Result<number, ScienceFault> => {
  const fault = firstOutside(liquidBounds(drink));
  return fault ? fail(fault) : ok(drinkDensityAt20(drink));
};

/** Apparent specific gravity 20/20 of a drink, as a hydrometer at 20 °C would read it. */
export const drinkGravity = (drink: Drink): Result<number, ScienceFault> => {
  const fault = firstOutside(liquidBounds(drink));
  return fault ? fail(fault) : ok(gravityFromDensityAt20(drinkDensityAt20(drink)));
};

/** Volume at a temperature over volume at 20 °C. The caller has checked the range. */
export const expansionAt = (drink: Drink, temperatureCelsius: number): number => {
  const density = drinkDensityAt20(drink);
  const extractPlato = (100 * drink.extractGramPerLitre) / density;
  const alcoholFraction = ((drink.alcoholByVolumePercent / 100) * pureEthanolDensity) / density;
  const summed = (temperature: number): number =>
    sucroseDensityAt(extractPlato, temperature) +
    ethanolDensityAt(alcoholFraction, temperature) -
    waterDensityAt(temperature);
  return summed(20) / summed(temperatureCelsius);
};
