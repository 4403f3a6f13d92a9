/**
 * A hydrometer read off its calibration temperature, and a density measured at any temperature.
 *
 * A floating glass displaces its own mass: density of the sample = density the scale shows, at the
 * calibration temperature, over the growth of the glass. Glass grows by 25e-6 of its volume per kelvin
 * (soda-lime glass; ISO 649-1 gives the same figure, from memory). The sample's own expansion is that of
 * sucrose (sucrose-density.ts), with its alcohol where there is any (drink-density.ts). A cold sample
 * reads high, a warm one low. Dropped: the rise of liquid at the stem, and the gas, which must be out.
 * Valid 0 to 40 °C. Pure: no I/O, no clock, no randomness.
 */
import { fail, ok, type Result } from '../result.ts';
import { type Drink, expansionAt } from './drink-density.ts';
import { firstOutside, type ScienceFault } from './fault.ts';
import { extractAt } from './gravity.ts';
import { densityAt20FromGravity, gravityFromDensityAt20 } from './sucrose-density.ts';

/** Volume expansion of hydrometer glass per kelvin. */
const glassExpansion = 25e-6;

const outside = (
  gravity: number,
  temperatureCelsius: number,
  alcoholByVolumePercent: number,
): ScienceFault | null =>
  firstOutside([
    ['gravity', gravity, 0.96, 1.17, 'SG 20/20'],
    ['temperatureCelsius', temperatureCelsius, 0, 40, '°C'],
    ['alcoholByVolumePercent', alcoholByVolumePercent, 0, 25, '% vol'],
  ]);

/** Gravity at 20 °C of a liquid of known density at its temperature, by its own expansion. */
const gravityAt20 = (
  density: number,
  temperatureCelsius: number,
  alcoholByVolumePercent: number,
): number => {
  let gravity = gravityFromDensityAt20(density);
  // The expansion depends faintly on the extract, so three rounds settle it to 1e-9.
  for (let round = 0; round < 5; round += 1) {
    const apparent = Math.max(0, extractAt(gravity) * 10 * gravity);
    const drink: Drink = {
      alcoholByVolumePercent,
      // Alcohol hides extract from the hydrometer: about 4 g/L per % vol.
      extractGramPerLitre: apparent + 4 * alcoholByVolumePercent,
    };
    gravity = gravityFromDensityAt20(density * expansionAt(drink, temperatureCelsius));
  }
  return gravity;
};

export type HydrometerReading = {
  /** What the scale shows, as specific gravity 20/20. */
  readonly readingGravity: number;
  readonly sampleTemperatureCelsius: number;
  /** Temperature printed on the hydrometer, 20 °C for most. */
  readonly calibrationTemperatureCelsius: number;
  /** 0 before fermentation; a rough figure is enough. */
  readonly alcoholByVolumePercent: number;
};

/** Gravity at 20 °C from a hydrometer in a sample that is not at 20 °C. */
export const gravityFromHydrometer = (reading: HydrometerReading): Result<number, ScienceFault> => {
  const fault =
    outside(
      reading.readingGravity,
      reading.sampleTemperatureCelsius,
      reading.alcoholByVolumePercent,
    ) ??
    firstOutside([
      ['calibrationTemperatureCelsius', reading.calibrationTemperatureCelsius, 15, 30, '°C'],
    ]);
  if (fault) return fail(fault);
  const growth =
    1 + glassExpansion * (reading.sampleTemperatureCelsius - reading.calibrationTemperatureCelsius);
  return ok(
    gravityAt20(
      densityAt20FromGravity(reading.readingGravity) / growth,
      reading.sampleTemperatureCelsius,
      reading.alcoholByVolumePercent,
    ),
  );
};

/** Gravity 20/20 from a density in kg/m3 measured at the sample's temperature. */
export const gravityFromDensity = (
  densityKilogramPerCubicMetre: number,
  temperatureCelsius: number,
  alcoholByVolumePercent: number,
): Result<number, ScienceFault> => {
  const fault =
    firstOutside([
      ['densityKilogramPerCubicMetre', densityKilogramPerCubicMetre, 955, 1170, 'kg/m3'],
    ]) ?? outside(1, temperatureCelsius, alcoholByVolumePercent);
  return fault
    ? fail(fault)
    : ok(gravityAt20(densityKilogramPerCubicMetre, temperatureCelsius, alcoholByVolumePercent));
};
