/**
 * The closed vessel as science takes it, from what the cellar says of vessel and batch. Pure: no I/O, no clock.
 */
import type { Drink } from '../../science/drink-density.ts';
import { fermentationState } from '../../science/fermentation-state.ts';
import { standardAtmosphere } from '../../science/gas-law.ts';
import {
  type ClosedVessel,
  closedVesselAtPressure,
  closedVesselAtRest,
  totalCarbonDioxideGram,
} from '../../science/headspace.ts';
import { typicalBeer, water } from '../../science/solubility.ts';
import type { Batch } from '../batch.ts';
import type { Watched } from '../watched.ts';

export const closedVesselOf = (
  { vessel, batch }: Watched,
  filledAtCelsius: number,
): ClosedVessel => ({
  drink: drinkOf(batch),
  vesselVolumeLitre: vessel.volumeLitre,
  // A vessel filled to the brim still has some gas in its neck; science asks for a hundredth.
  headspaceLitre: Math.max(0.01 * vessel.volumeLitre, vessel.headspaceLitre),
  filledAtCelsius,
  // Assumption: sea level; 900 m up gauge pressures read 10 kPa higher.
  ambientPressurePascal: standardAtmosphere,
});

/** Grams of carbon dioxide in all, for a vessel at rest; null where the physics does not reach. */
export const contentAt = (
  closed: ClosedVessel,
  gaugePressurePascal: number,
  temperatureCelsius: number,
): number | null => {
  const state = closedVesselAtPressure(closed, gaugePressurePascal, temperatureCelsius);
  return state.ok ? totalCarbonDioxideGram(state.value) : null;
};

/** Gauge pressure at rest, Pa; null where the physics does not reach. */
export const pressureAt = (
  closed: ClosedVessel,
  contentGram: number,
  temperatureCelsius: number,
): number | null => {
  const state = closedVesselAtRest(closed, contentGram, temperatureCelsius);
  return state.ok ? state.value.gaugePressurePascal : null;
};

const drinkOf = (batch: Batch | null): Drink => {
  if (batch?.drink === 'infusion') return water;
  if (batch === null || batch.originalGravity === null) return typicalBeer;
  const end = batch.expectedTerminalGravity;
  if (end === null) return typicalBeer;
  const state = fermentationState(batch.originalGravity, Math.min(end, batch.originalGravity));
  return state.ok ? state.value.drink : typicalBeer;
};
