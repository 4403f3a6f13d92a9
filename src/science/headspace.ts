/**
 * A closed vessel: carbon dioxide shared between liquid and headspace, by mass balance.
 *
 * total = dissolved(p, T) x liquid volume(T) + gas density(p, T) x gas volume(T), solved for p
 * (solubility.ts, gas-law.ts). The liquid keeps its mass: it expands as it warms (drink-density.ts) and
 * the headspace shrinks. The head pressure is carbon dioxide + water vapour (water-vapour.ts) + whatever
 * air was left at sealing, as ideal gas that stays in the headspace.
 * Dropped: the give of the vessel's walls (0.1 % of the volume would matter only near 1 % headspace), the
 * swelling of the liquid by gas, air dissolving, the vapour of alcohol, and the slow way to equilibrium: a
 * vessel at rest takes hours to days to read what this says, a shaken one minutes.
 * Range: headspace 1 to 90 % of the vessel, -2 to 45 °C, carbon dioxide up to 1.2 MPa.
 * Gyleward advises: the nameplate and the relief device decide what a vessel may hold.
 * Pure: no I/O, no clock, no randomness.
 */
import { fail, ok, type Result } from '../result.ts';
import { volumesFromGramPerLitre } from './carbonation.ts';
import { type Drink, drinkBounds, expansionAt } from './drink-density.ts';
import { firstOutside, type ScienceFault } from './fault.ts';
import { gasDensityAt, zeroCelsiusKelvin } from './gas-law.ts';
import { dissolvedAt } from './solubility.ts';
import { waterVapourPressureAt } from './water-vapour.ts';

export type ClosedVessel = {
  readonly drink: Drink;
  /** Whole inner volume. */
  readonly vesselVolumeLitre: number;
  /** Gas space at `filledAtCelsius`. */
  readonly headspaceLitre: number;
  readonly filledAtCelsius: number;
  readonly ambientPressurePascal: number;
  /** Pressure of air left in the headspace at `filledAtCelsius`; none where the vessel was purged. */
  readonly airPartialPressurePascal?: number;
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
    ['airPartialPressurePascal', vessel.airPartialPressurePascal ?? 0, 0, 500_000, 'Pa'],
  ]);

const liquidVolumeAt = (vessel: ClosedVessel, temperatureCelsius: number): number =>
  ((vessel.vesselVolumeLitre - vessel.headspaceLitre) *
    expansionAt(vessel.drink, temperatureCelsius)) /
  expansionAt(vessel.drink, vessel.filledAtCelsius);

/** Pressure of the air left at sealing, in the headspace as it stands. */
const airPressureAt = (vessel: ClosedVessel, temperatureCelsius: number, liquid: number): number =>
  ((vessel.airPartialPressurePascal ?? 0) *
    vessel.headspaceLitre *
    (temperatureCelsius + zeroCelsiusKelvin)) /
  ((vessel.vesselVolumeLitre - liquid) * (vessel.filledAtCelsius + zeroCelsiusKelvin));

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
  const absolute =
    partialPressure +
    waterVapourPressureAt(temperature) +
    airPressureAt(vessel, temperature, liquid);
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
  for (let round = 0; round < 12 && carbonDioxideGram > 1e-9; round += 1) {
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
    gaugePressurePascal +
    vessel.ambientPressurePascal -
    waterVapourPressureAt(temperatureCelsius) -
    airPressureAt(vessel, temperatureCelsius, liquid.value);
  const below = firstOutside([['partialPressurePascal', partial, 0, highestPartialPressure, 'Pa']]);
  return below ? fail(below) : ok(stateAt(vessel, partial, temperatureCelsius, liquid.value));
};

/** All carbon dioxide in the vessel, g. */
export const totalCarbonDioxideGram = (state: ClosedVesselState): number =>
  state.dissolvedGram + state.headspaceGram;

/** Carbon dioxide still to be added, g, before the vessel reads a gauge pressure at its temperature. */
export const carbonDioxideGramToReach = (
  vessel: ClosedVessel,
  state: ClosedVesselState,
  gaugePressurePascal: number,
): Result<number, ScienceFault> => {
  const reached = closedVesselAtPressure(vessel, gaugePressurePascal, state.temperatureCelsius);
  return reached.ok
    ? ok(totalCarbonDioxideGram(reached.value) - totalCarbonDioxideGram(state))
    : reached;
};

/**
 * How fast the head pressure rises, Pa per hour, while carbon dioxide is made at a rate in g per hour
 * (gas-evolved.ts) and liquid and gas stay in equilibrium, as a fermentation's own bubbles keep them.
 */
export const pressureRisePerHour = (
  vessel: ClosedVessel,
  state: ClosedVesselState,
  carbonDioxideGramPerHour: number,
): Result<number, ScienceFault> => {
  const fault =
    outside(vessel, state.temperatureCelsius) ??
    firstOutside([
      ['carbonDioxideGramPerHour', carbonDioxideGramPerHour, 0, 1e7, 'g/h'],
      [
        'gaugePressurePascal',
        state.gaugePressurePascal,
        -vessel.ambientPressurePascal,
        1_100_000,
        'Pa',
      ],
    ]);
  if (fault) return fail(fault);
  const temperature = state.temperatureCelsius;
  const liquid = state.liquidVolumeLitre;
  const partial = Math.max(
    0,
    state.absolutePressurePascal -
      waterVapourPressureAt(temperature) -
      airPressureAt(vessel, temperature, liquid),
  );
  // The content is smooth in pressure: a step of 100 Pa gives its slope to six digits.
  const step = 100;
  const gramPerPascal =
    (heldAt(vessel, partial + step, temperature, liquid) -
      heldAt(vessel, partial, temperature, liquid)) /
    step;
  return ok(carbonDioxideGramPerHour / gramPerPascal);
};

/** The temperature at which the liquid fills the vessel to the brim; null if not below 45 °C. */
export const liquidFullAtCelsius = (vessel: ClosedVessel): Result<number | null, ScienceFault> => {
  const fault = outside(vessel, 45);
  if (fault) return fail(fault);
  const full = (temperature: number): boolean =>
    liquidVolumeAt(vessel, temperature) >= vessel.vesselVolumeLitre;
  if (!full(45)) return ok(null);
  // Below its densest point, near 4 °C, a drink hardly shrinks, so the filling temperature bounds it.
  let low = vessel.filledAtCelsius;
  let high = 45;
  for (let round = 0; round < 40; round += 1) {
    const middle = (low + high) / 2;
    if (full(middle)) high = middle;
    else low = middle;
  }
  return ok(high);
};
