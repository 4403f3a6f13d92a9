/**
 * Alcoholic strength: % vol at 20 °C and mass %, both ways.
 *
 * Definition (Council Directive 76/766/EEC, section 1): % vol is the volume of ethanol in the drink over
 * the volume of the drink, both at 20 °C. So % vol = mass % x density of the drink / 789.2391 kg/m3, by
 * definition, for any drink; for ethanol and water alone the density is that of OIML R 22
 * (ethanol-density.ts), and the way back is an iteration. Dropped: nothing.
 * Pure: no I/O, no clock, no randomness.
 */
import { fail, ok, type Result } from '../result.ts';
import { ethanolDensityAt, pureEthanolDensity } from './ethanol-density.ts';
import { firstOutside, type ScienceFault } from './fault.ts';

/** Density at 20 °C of ethanol and water of a strength in % vol. The caller has checked the range. */
export const spiritDensityAt20 = (alcoholByVolumePercent: number): number => {
  const alcoholKgPerM3 = (alcoholByVolumePercent / 100) * pureEthanolDensity;
  let density = ethanolDensityAt(alcoholKgPerM3 / 998.2, 20);
  // The density changes by a fifth over the whole scale: each round gains a digit or more.
  for (let round = 0; round < 40; round += 1) {
    const next = ethanolDensityAt(alcoholKgPerM3 / density, 20);
    if (Math.abs(next - density) < 1e-10) return next;
    density = next;
  }
  return density;
};

/** % vol of ethanol and water from mass %. */
export const alcoholByVolumeFromMass = (
  alcoholMassPercent: number,
): Result<number, ScienceFault> => {
  const fault = firstOutside([['alcoholMassPercent', alcoholMassPercent, 0, 100, 'mass %']]);
  return fault
    ? fail(fault)
    : ok(
        (alcoholMassPercent * ethanolDensityAt(alcoholMassPercent / 100, 20)) / pureEthanolDensity,
      );
};

/** Mass % of ethanol and water from % vol. */
export const alcoholMassFromVolume = (
  alcoholByVolumePercent: number,
): Result<number, ScienceFault> => {
  const fault = firstOutside([['alcoholByVolumePercent', alcoholByVolumePercent, 0, 100, '% vol']]);
  return fault
    ? fail(fault)
    : ok(
        Math.min(
          100,
          (alcoholByVolumePercent * pureEthanolDensity) / spiritDensityAt20(alcoholByVolumePercent),
        ),
      );
};

/** % vol of any drink from its mass % of alcohol and its density in vacuo at 20 °C. */
export const alcoholByVolumeOfDrink = (
  alcoholMassPercent: number,
  densityAt20: number,
): Result<number, ScienceFault> => {
  const fault = firstOutside([
    ['alcoholMassPercent', alcoholMassPercent, 0, 100, 'mass %'],
    ['densityAt20', densityAt20, 780, 1250, 'kg/m3'],
  ]);
  return fault ? fail(fault) : ok((alcoholMassPercent * densityAt20) / pureEthanolDensity);
};
