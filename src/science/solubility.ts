/**
 * Carbon dioxide dissolved in a drink at equilibrium with gas of a given partial pressure.
 *
 * Water: ln(H/MPa) = -6.8346 + 1.2817e4/T - 3.7668e6/T2 + 2.997e8/T3, mole fraction basis, of
 * J. J. Carroll, J. D. Slupsky and A. E. Mather, J. Phys. Chem. Ref. Data 20 (1991) 1201, 273 to 433 K
 * and below 1 MPa, about 2 %; the gas enters as fugacity (gas-law.ts).
 * Drink: water's value times a factor for alcohol and extract.
 * Grams per litre are per litre of drink at its own temperature.
 * Pure: no I/O, no clock, no randomness.
 */
import { fail, ok, type Result } from '../result.ts';
import { firstOutside, type ScienceFault } from './fault.ts';
import { carbonDioxideMolarMass, fugacityAt, zeroCelsiusKelvin } from './gas-law.ts';
import { waterDensityAt } from './sucrose-density.ts';

/** What of a drink's composition changes how much gas it holds. */
export type Drink = {
  /** % vol at 20 °C. */
  readonly alcoholByVolumePercent: number;
  /** Real extract, g/L. */
  readonly extractGramPerLitre: number;
};

/** A beer of 12 °P fermented to 2.5 °P, the trade's middle. */
export const typicalBeer: Drink = { alcoholByVolumePercent: 5.1, extractGramPerLitre: 42.6 };
export const water: Drink = { alcoholByVolumePercent: 0, extractGramPerLitre: 0 };

const waterMolarMass = 18.01528;

/** Henry's constant of carbon dioxide in water, Pa per mole fraction. The caller has checked the range. */
export const henryAt = (temperatureCelsius: number): number => {
  const t = temperatureCelsius + zeroCelsiusKelvin;
  return 1e6 * Math.exp(-6.8346 + (1.2817e4 + (-3.7668e6 + 2.997e8 / t) / t) / t);
};

/** The share of water's solubility that the drink keeps. The caller has checked the range. */
export const drinkFactorAt = (drink: Drink, _temperatureCelsius: number): number =>
  Math.exp(-0.0035 * drink.alcoholByVolumePercent - 0.00028 * drink.extractGramPerLitre);

/** Grams per litre at a partial pressure of carbon dioxide. The caller has checked the range. */
export const dissolvedAt = (
  drink: Drink,
  partialPressurePascal: number,
  temperatureCelsius: number,
): number => {
  const fraction =
    fugacityAt(partialPressurePascal, temperatureCelsius) / henryAt(temperatureCelsius);
  const inWater =
    ((fraction / (1 - fraction)) * carbonDioxideMolarMass * waterDensityAt(temperatureCelsius)) /
    waterMolarMass;
  return inWater * drinkFactorAt(drink, temperatureCelsius);
};

export const drinkBounds = (drink: Drink) =>
  [
    ['alcoholByVolumePercent', drink.alcoholByVolumePercent, 0, 25, '% vol'],
    ['extractGramPerLitre', drink.extractGramPerLitre, 0, 250, 'g/L'],
  ] as const;

export type DissolvedInput = {
  readonly drink: Drink;
  /** Partial pressure of carbon dioxide alone, without water vapour or air. */
  readonly partialPressurePascal: number;
  readonly temperatureCelsius: number;
};

/** Carbon dioxide held at equilibrium, g/L. */
export const dissolvedCarbonDioxide = (input: DissolvedInput): Result<number, ScienceFault> => {
  const fault = firstOutside([
    ...drinkBounds(input.drink),
    ['partialPressurePascal', input.partialPressurePascal, 0, 1_200_000, 'Pa'],
    ['temperatureCelsius', input.temperatureCelsius, -2, 45, '°C'],
  ]);
  return fault
    ? fail(fault)
    : ok(dissolvedAt(input.drink, input.partialPressurePascal, input.temperatureCelsius));
};
