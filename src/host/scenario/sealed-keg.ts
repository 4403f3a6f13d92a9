/**
 * The head pressure of a sealed keg whose temperature changes: it follows the equilibrium of
 * science/headspace.ts slowly, because gas must find its way through still liquid. The mass of gas in
 * the keg never changes. Throws where the keg leaves the range of the science, which is a bug in the
 * scenario. Pure: no I/O, no clock, no randomness.
 */
import { gramPerLitreFromVolumes, partialPressureAt } from '../../science/carbonation.ts';
import { describeFault } from '../../science/fault.ts';
import { gasDensityAt, standardAtmosphere } from '../../science/gas-law.ts';
import { type ClosedVessel, closedVesselAtRest } from '../../science/headspace.ts';

export type SealedKeg = {
  readonly vessel: ClosedVessel;
  /** All of it, in liquid and headspace together. */
  readonly carbonDioxideGram: number;
};

/** Hours in which the head pressure comes 63 % of the way to equilibrium: assumption. */
const hoursToEquilibrium = 3;

/** A keg filled with a drink of that carbonation, its headspace in equilibrium with it. */
export const filledKeg = (
  vessel: Omit<ClosedVessel, 'ambientPressurePascal'>,
  carbonationVolumes: number,
): SealedKeg => {
  const gramPerLitre = gramPerLitreFromVolumes(carbonationVolumes);
  const partial = partialPressureAt(vessel.drink, gramPerLitre, vessel.filledAtCelsius);
  return {
    vessel: { ...vessel, ambientPressurePascal: standardAtmosphere },
    carbonDioxideGram:
      gramPerLitre * (vessel.vesselVolumeLitre - vessel.headspaceLitre) +
      gasDensityAt(partial, vessel.filledAtCelsius) * vessel.headspaceLitre,
  };
};

export const equilibriumPascal = (keg: SealedKeg, temperatureCelsius: number): number => {
  const state = closedVesselAtRest(keg.vessel, keg.carbonDioxideGram, temperatureCelsius);
  if (!state.ok) throw new Error(`the keg of the scenario: ${describeFault(state.fault)}`);
  return state.value.gaugePressurePascal;
};

/** The gauge pressure some time later, while the liquid is at that temperature. */
export const headPressureAfter = (
  keg: SealedKeg,
  gaugePressurePascal: number,
  temperatureCelsius: number,
  hours: number,
): number => {
  const rest = equilibriumPascal(keg, temperatureCelsius);
  return rest + (gaugePressurePascal - rest) * Math.exp(-hours / hoursToEquilibrium);
};
