/**
 * Where a fermentation stands, from its original and present gravity alone: the trade's reading.
 *
 * Real extract by the attenuation quotient 0.8192 and alcohol by Balling (balling.ts); % vol from mass %
 * by the drink's own density (alcohol.ts). Beside the density balance of `alcohol-after-additions.ts` the
 * quotient gives up to 2 % more alcohol, as it does in the trade's tables: 4.01 against 3.94 mass % for
 * 12 °P fermented to 2.5 °P. Valid for drinks of 1 to 38 °P to which nothing was added.
 * Pure: no I/O, no clock, no randomness.
 */
import { fail, ok, type Result } from '../result.ts';
import { alcoholByVolumeOfDrink } from './alcohol.ts';
import { type Attenuated, attenuated } from './balling.ts';
import type { Drink } from './drink-density.ts';
import { firstOutside, type ScienceFault } from './fault.ts';
import { extractFromGravity, gravityFromExtract } from './gravity.ts';
import { densityAt20FromGravity } from './sucrose-density.ts';

export type FermentationState = Attenuated & {
  readonly originalExtractPlato: number;
  readonly apparentExtractPlato: number;
  readonly alcoholByVolumePercent: number;
  /** The drink as solubility and density take it. */
  readonly drink: Drink;
};

/** Extract, alcohol and degrees of fermentation of a drink. */
export const fermentationState = (
  originalGravity: number,
  presentGravity: number,
): Result<FermentationState, ScienceFault> => {
  const original = extractFromGravity(originalGravity);
  if (!original.ok) return original;
  const present = extractFromGravity(presentGravity);
  if (!present.ok) return present;
  const balance = attenuated({
    originalExtractPlato: original.value,
    apparentExtractPlato: present.value,
  });
  if (!balance.ok) return balance;
  const density = densityAt20FromGravity(presentGravity);
  const byVolume = alcoholByVolumeOfDrink(balance.value.alcoholMassPercent, density);
  if (!byVolume.ok) return byVolume;
  return ok({
    ...balance.value,
    originalExtractPlato: original.value,
    apparentExtractPlato: present.value,
    alcoholByVolumePercent: byVolume.value,
    drink: {
      alcoholByVolumePercent: byVolume.value,
      extractGramPerLitre: (balance.value.realExtractPlato * density) / 100,
    },
  });
};

/** The gravity at which a wort stops whose apparent attenuation limit (0 to 1) is known. */
export const terminalGravityFromLimit = (
  originalGravity: number,
  attenuationLimit: number,
): Result<number, ScienceFault> => {
  // 1.2: a dry wine or mead ends well below water's gravity.
  const fault = firstOutside([['attenuationLimit', attenuationLimit, 0, 1.2, '']]);
  if (fault) return fail(fault);
  const original = extractFromGravity(originalGravity);
  return original.ok ? gravityFromExtract(original.value * (1 - attenuationLimit)) : original;
};
