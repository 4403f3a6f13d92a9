/**
 * Carbonation: volumes, g/L, and the head pressure that holds them at a temperature.
 *
 * One volume is a litre of carbon dioxide gas at 0 °C and 1 atm per litre of drink: 1.97681 g/L as a
 * real gas (Span and Wagner, J. Phys. Chem. Ref. Data 25 (1996) 1509). The ideal gas would say 1.96349;
 * the real figure is used throughout. Equilibrium: head pressure + local air pressure = carbon dioxide +
 * water vapour; solubility.ts gives the first. Dropped: the vapour pressure of alcohol, 0.4 kPa at 5 %
 * vol and 20 °C. Pure: no I/O, no clock, no randomness.
 */
import { fail, ok, type Result } from '../result.ts';
import { type Drink, drinkBounds } from './drink-density.ts';
import { firstOutside, type ScienceFault } from './fault.ts';
import { dissolvedAt } from './solubility.ts';
import { waterVapourPressureAt } from './water-vapour.ts';

/** Grams of carbon dioxide per litre in one volume. */
export const gramPerLitrePerVolume = 1.97681;

export const volumesFromGramPerLitre = (gramPerLitre: number): number =>
  gramPerLitre / gramPerLitrePerVolume;

export const gramPerLitreFromVolumes = (volumes: number): number => volumes * gramPerLitrePerVolume;

/** The partial pressure that holds a content, Pa. The caller has checked the range. */
export const partialPressureAt = (
  drink: Drink,
  carbonDioxideGramPerLitre: number,
  temperatureCelsius: number,
): number => {
  const target = carbonDioxideGramPerLitre;
  // Below a nanogram the scaling would divide by nothing.
  if (target < 1e-9) return 0;
  // Content is nearly proportional to pressure, so scaling converges by two to three digits a round.
  let pressure = (target / dissolvedAt(drink, 1e5, temperatureCelsius)) * 1e5;
  for (let round = 0; round < 8; round += 1) {
    pressure *= target / dissolvedAt(drink, pressure, temperatureCelsius);
  }
  return pressure;
};

export type CarbonationInput = {
  readonly drink: Drink;
  readonly gaugePressurePascal: number;
  readonly temperatureCelsius: number;
  /** Air pressure around the vessel, not reduced to sea level. */
  readonly ambientPressurePascal: number;
};

export type Carbonation = {
  readonly carbonDioxideGramPerLitre: number;
  readonly volumes: number;
  readonly partialPressurePascal: number;
};

/** What a drink holds once it has come to rest under a head pressure. */
export const carbonationAtPressure = (
  input: CarbonationInput,
): Result<Carbonation, ScienceFault> => {
  const fault = firstOutside([
    ...drinkBounds(input.drink),
    ['gaugePressurePascal', input.gaugePressurePascal, 0, 1_000_000, 'Pa'],
    ['temperatureCelsius', input.temperatureCelsius, -2, 45, '°C'],
    ['ambientPressurePascal', input.ambientPressurePascal, 60_000, 110_000, 'Pa'],
  ]);
  if (fault) return fail(fault);
  const partial =
    input.gaugePressurePascal +
    input.ambientPressurePascal -
    waterVapourPressureAt(input.temperatureCelsius);
  const gramPerLitre = dissolvedAt(input.drink, partial, input.temperatureCelsius);
  return ok({
    carbonDioxideGramPerLitre: gramPerLitre,
    volumes: volumesFromGramPerLitre(gramPerLitre),
    partialPressurePascal: partial,
  });
};

export type EquilibriumInput = {
  readonly drink: Drink;
  readonly carbonDioxideGramPerLitre: number;
  readonly temperatureCelsius: number;
  readonly ambientPressurePascal: number;
};

/**
 * The gauge pressure at which a content neither leaves nor enters the drink. Negative where the drink
 * holds less than it would under plain carbon dioxide at the local air pressure.
 */
export const equilibriumGaugePressure = (input: EquilibriumInput): Result<number, ScienceFault> => {
  const fault = firstOutside([
    ...drinkBounds(input.drink),
    ['carbonDioxideGramPerLitre', input.carbonDioxideGramPerLitre, 0, 16, 'g/L'],
    ['temperatureCelsius', input.temperatureCelsius, -2, 45, '°C'],
    ['ambientPressurePascal', input.ambientPressurePascal, 60_000, 110_000, 'Pa'],
  ]);
  if (fault) return fail(fault);
  const partial = partialPressureAt(
    input.drink,
    input.carbonDioxideGramPerLitre,
    input.temperatureCelsius,
  );
  return ok(
    partial + waterVapourPressureAt(input.temperatureCelsius) - input.ambientPressurePascal,
  );
};
