/**
 * A closed vessel: carbon dioxide shared between liquid and headspace, by mass balance.
 *
 * total = dissolved(p, T) x liquid volume(T) + gas density(p, T) x gas volume(T), solved for p. The
 * liquid keeps its mass, so it expands as it warms (sucrose-density.ts, water's expansion raised by the
 * extract) and the headspace shrinks. The head pressure is carbon dioxide + water vapour; air left in
 * the headspace is dropped (a purged vessel). Dropped too: the give of the vessel's walls, and the slow
 * way to equilibrium, so that a vessel at rest takes hours to days to read what this says.
 * Gyleward advises: the nameplate and the relief device decide what a vessel may hold.
 * Pure: no I/O, no clock, no randomness.
 */
import { fail, ok, type Result } from '../result.ts';
import { volumesFromGramPerLitre } from './carbonation.ts';
import { firstOutside, type ScienceFault } from './fault.ts';
import { gasDensityAt } from './gas-law.ts';
import { type Drink, dissolvedAt, drinkBounds } from './solubility.ts';
import { sucroseDensityAt } from './sucrose-density.ts';
import { waterVapourPressureAt } from './water-vapour.ts';

export type ClosedVessel = {
  readonly drink: Drink;
  /** Whole inner volume. */
  readonly vesselVolumeLitre: number;
  /** Gas space at `filledAtCelsius`. */
  readonly headspaceLitre: number;
  readonly filledAtCelsius: number;
  readonly ambientPressurePascal: number;
};

export type ClosedVesselState = {
  readonly temperatureCelsius: number;
  readonly absolutePressurePascal: number;
  readonly gaugePressurePascal: number;
  readonly carbonDioxideGramPerLitre: number;
  readonly volumes: number;
  readonly liquidVolumeLitre: number;
  readonly headspaceLitre: number;
  readonly dissolvedGram: number;
  readonly headspaceGram: number;
};

/** Highest carbon dioxide pressure looked for: solubility and gas law are checked up to here. */
const highestPartialPressure = 1_200_000;

const outside = (vessel: ClosedVessel, temperatureCelsius: number): ScienceFault | null =>
  firstOutside([
    ...drinkBounds(vessel.drink),
    ['vesselVolumeLitre', vessel.vesselVolumeLitre, 0.1, 1_000_000, 'L'],
    [
      'headspaceLitre',
      vessel.headspaceLitre,
      0.01 * vessel.vesselVolumeLitre,
      0.9 * vessel.vesselVolumeLitre,
      'L',
    ],
    ['filledAtCelsius', vessel.filledAtCelsius, -2, 45, '°C'],
    ['temperatureCelsius', temperatureCelsius, -2, 45, '°C'],
    ['ambientPressurePascal', vessel.ambientPressurePascal, 60_000, 110_000, 'Pa'],
  ]);

const liquidVolumeAt = (vessel: ClosedVessel, temperatureCelsius: number): number => {
  const plato = vessel.drink.extractGramPerLitre / 10;
  return (
    ((vessel.vesselVolumeLitre - vessel.headspaceLitre) *
      sucroseDensityAt(plato, vessel.filledAtCelsius)) /
    sucroseDensityAt(plato, temperatureCelsius)
  );
};

/** The gas held in all at a partial pressure, g. Rises with pressure throughout. */
const heldAt = (
  vessel: ClosedVessel,
  partialPressure: number,
  temperature: number,
  liquid: number,
): number =>
  dissolvedAt(vessel.drink, partialPressure, temperature) * liquid +
  gasDensityAt(partialPressure, temperature) * (vessel.vesselVolumeLitre - liquid);

const stateAt = (
  vessel: ClosedVessel,
  partialPressure: number,
  temperature: number,
  liquid: number,
): ClosedVesselState => {
  const absolute = partialPressure + waterVapourPressureAt(temperature);
  const gramPerLitre = dissolvedAt(vessel.drink, partialPressure, temperature);
  const headspaceLitre = vessel.vesselVolumeLitre - liquid;
  return {
    temperatureCelsius: temperature,
    absolutePressurePascal: absolute,
    gaugePressurePascal: absolute - vessel.ambientPressurePascal,
    carbonDioxideGramPerLitre: gramPerLitre,
    volumes: volumesFromGramPerLitre(gramPerLitre),
    liquidVolumeLitre: liquid,
    headspaceLitre,
    dissolvedGram: gramPerLitre * liquid,
    headspaceGram: gasDensityAt(partialPressure, temperature) * headspaceLitre,
  };
};

const roomFor = (vessel: ClosedVessel, temperature: number): Result<number, ScienceFault> => {
  const liquid = liquidVolumeAt(vessel, temperature);
  return liquid < vessel.vesselVolumeLitre
    ? ok(liquid)
    : fail({
        kind: 'liquid-full',
        field: 'headspaceLitre',
        vesselVolumeLitre: vessel.vesselVolumeLitre,
        liquidVolumeLitre: liquid,
        temperatureCelsius: temperature,
      });
};

/** The state at rest of a vessel that holds a known mass of carbon dioxide in all. */
export const closedVesselAtRest = (
  vessel: ClosedVessel,
  carbonDioxideGram: number,
  temperatureCelsius: number,
): Result<ClosedVesselState, ScienceFault> => {
  const fault = outside(vessel, temperatureCelsius);
  if (fault) return fail(fault);
  const liquid = roomFor(vessel, temperatureCelsius);
  if (!liquid.ok) return liquid;
  const most = heldAt(vessel, highestPartialPressure, temperatureCelsius, liquid.value);
  const beyond = firstOutside([['carbonDioxideGram', carbonDioxideGram, 0, most, 'g']]);
  if (beyond) return fail(beyond);
  let pressure = (highestPartialPressure * carbonDioxideGram) / most;
  // The content bends by a few per cent over the range, so scaling gains two digits a round.
  for (let round = 0; round < 12 && pressure > 0; round += 1) {
    pressure *= carbonDioxideGram / heldAt(vessel, pressure, temperatureCelsius, liquid.value);
  }
  return ok(stateAt(vessel, pressure, temperatureCelsius, liquid.value));
};

/** The state, and so the whole gas content, of a vessel at rest under a known head pressure. */
export const closedVesselAtPressure = (
  vessel: ClosedVessel,
  gaugePressurePascal: number,
  temperatureCelsius: number,
): Result<ClosedVesselState, ScienceFault> => {
  const fault =
    outside(vessel, temperatureCelsius) ??
    firstOutside([['gaugePressurePascal', gaugePressurePascal, -60_000, 1_000_000, 'Pa']]);
  if (fault) return fail(fault);
  const liquid = roomFor(vessel, temperatureCelsius);
  if (!liquid.ok) return liquid;
  const partial =
    gaugePressurePascal + vessel.ambientPressurePascal - waterVapourPressureAt(temperatureCelsius);
  const below = firstOutside([['partialPressurePascal', partial, 0, highestPartialPressure, 'Pa']]);
  return below ? fail(below) : ok(stateAt(vessel, partial, temperatureCelsius, liquid.value));
};

/** All carbon dioxide in the vessel, g. */
export const totalCarbonDioxideGram = (state: ClosedVesselState): number =>
  state.dissolvedGram + state.headspaceGram;
