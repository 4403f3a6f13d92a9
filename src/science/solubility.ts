/**
 * Carbon dioxide dissolved in a drink at rest under gas of a given partial pressure.
 *
 * Water: ln(H/MPa) = -6.8346 + 1.2817e4/T - 3.7668e6/T2 + 2.997e8/T3, mole fraction basis, of
 * J. J. Carroll, J. D. Slupsky and A. E. Mather, J. Phys. Chem. Ref. Data 20 (1991) 1201, 273 to 433 K
 * and below 1 MPa, about 2 %; the gas enters as fugacity (gas-law.ts). Used from -2 °C (assumption, two
 * kelvin below its range: drinks freeze lower than water) to 45 °C.
 *
 * Drink: water's value times a factor made of two published descriptions that cannot be had from one
 * formula, because they disagree: a beer of 5 % vol and 43 g/L keeps 97 % of water's solubility by the
 * beer table and would keep 88 % by the wine formula.
 * - Below 6 % vol, the beer table (297 cells, -1 to 25 °C, 0 to 1 bar; origin not stated): extract alone
 *   takes 0.058 % per g/L at 10.5 °C, a little more on either side. That is what displacement by the
 *   extract's own volume gives (0.6 mL/g). Alcohol has no part in it: it displaces water and holds gas
 *   itself. The bend with temperature is fitted, and held constant beyond the ends of the table.
 * - Above 10 % vol, Regulation (EEC) 2676/90, chapter 37 (still in the OIV's wording): at 20 °C,
 *   (0.86 - 0.01 A)(1 - 0.00144 S) / 0.86. Its alcohol term is scaled by 1 + 0.03 (t - 20) (assumption):
 *   sparkling wine at 10 °C holds 2.1 g/L per bar (ACS Omega 6 (2021) 9672, table 1) where the unscaled
 *   formula says 1.9.
 * - Between 6 and 10 % vol the weight moves smoothly from one to the other (assumption: no figure was
 *   found there). The choice of 6 and 10 is ours; moving either by 1 % vol moves the result by up to 3 %.
 * Published figures for one and the same drink differ by 6 %; so does a pressure calculated here.
 * Grams per litre are per litre of drink at its own temperature.
 * Pure: no I/O, no clock, no randomness.
 */
import { fail, ok, type Result } from '../result.ts';
import { type Drink, drinkBounds } from './drink-density.ts';
import { firstOutside, type ScienceFault } from './fault.ts';
import { carbonDioxideMolarMass, fugacityAt, zeroCelsiusKelvin } from './gas-law.ts';
import { waterDensityAt } from './sucrose-density.ts';

/** A beer of 12 °P fermented to 2.5 °P: 5.1 % vol and 43 g/L; the beer table is read as if for it. */
export const typicalBeer: Drink = { alcoholByVolumePercent: 5.1, extractGramPerLitre: 42.6 };
export const water: Drink = { alcoholByVolumePercent: 0, extractGramPerLitre: 0 };

const waterMolarMass = 18.01528;

/** Henry's constant of carbon dioxide in water, Pa per mole fraction. The caller has checked the range. */
export const henryAt = (temperatureCelsius: number): number => {
  const t = temperatureCelsius + zeroCelsiusKelvin;
  return 1e6 * Math.exp(-6.8346 + (1.2817e4 + (-3.7668e6 + 2.997e8 / t) / t) / t);
};

const beerTableLowest = -1;
const beerTableHighest = 25;
const beerTableMiddle = 10.5;

const logBeerFactor = (drink: Drink, temperatureCelsius: number): number => {
  const held = Math.min(beerTableHighest, Math.max(beerTableLowest, temperatureCelsius));
  return -drink.extractGramPerLitre * (5.8e-4 + 1.4e-6 * (held - beerTableMiddle) ** 2);
};

const logWineFactor = (drink: Drink, temperatureCelsius: number): number =>
  Math.log(1 - (0.01 / 0.86) * drink.alcoholByVolumePercent) *
    (1 + 0.03 * (temperatureCelsius - 20)) +
  Math.log(1 - 0.00144 * drink.extractGramPerLitre);

/** 0 for a beer, 1 for a wine, smooth between. */
const wineWeight = (alcoholByVolumePercent: number): number => {
  const share = Math.min(1, Math.max(0, (alcoholByVolumePercent - 6) / 4));
  return share * share * (3 - 2 * share);
};

/** The share of water's solubility that the drink keeps. The caller has checked the range. */
export const drinkFactorAt = (drink: Drink, temperatureCelsius: number): number => {
  const weight = wineWeight(drink.alcoholByVolumePercent);
  return Math.exp(
    (1 - weight) * logBeerFactor(drink, temperatureCelsius) +
      weight * logWineFactor(drink, temperatureCelsius),
  );
};

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

export type DissolvedInput = {
  readonly drink: Drink;
  /** Partial pressure of carbon dioxide alone, without water vapour or air. */
  readonly partialPressurePascal: number;
  readonly temperatureCelsius: number;
};

/** Carbon dioxide held at rest, g/L. */
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
