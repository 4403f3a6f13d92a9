/**
 * Carbon dioxide made by a fermentation, and how much of it leaves the liquid.
 *
 * Made: Balling's balance (balling.ts), counted per litre of unfermented wort. A wort of OE mass % turns
 * into a beer of mass M / (1 + 0.010665 A), so a litre of wort gives 0.9565 g of gas per gram of alcohol
 * in that beer. Left behind: what the liquid holds at rest under the head pressure (solubility.ts).
 * Dropped: gas lost as alcohol-laden vapour, and supersaturation, up to a third above rest while it
 * ferments (common practice, no source). Gas volumes are at 20 °C and 1 atm, 1.83934 g/L (Span and Wagner
 * 1996). Pure: no I/O, no clock, no randomness.
 */
import { fail, ok, type Result } from '../result.ts';
import { attenuated, carbonDioxidePerAlcohol, extractPerAlcohol } from './balling.ts';
import { carbonationAtPressure } from './carbonation.ts';
import type { Drink } from './drink-density.ts';
import { firstOutside, type ScienceFault } from './fault.ts';
import { gravityAt } from './gravity.ts';
import { densityAt20FromGravity } from './sucrose-density.ts';

/** Grams in a litre of gas at 20 °C and 1 atm. */
export const gramPerGasLitre = 1.83934;

/** Grams of gas per gram of sugar by stoichiometry, with nothing spent on yeast: the most there can be. */
export const greatestYield = {
  /** C12H22O11 + H2O -> 4 C2H5OH + 4 CO2: 4 x 44.0095 / 342.297. */
  sucrose: 0.51429,
  /** C6H12O6 -> 2 C2H5OH + 2 CO2: 2 x 44.0095 / 180.156. */
  hexose: 0.48857,
} as const;

const madePerLitre = (
  originalExtractPlato: number,
  apparentExtractPlato: number,
): Result<number, ScienceFault> => {
  const balance = attenuated({ originalExtractPlato, apparentExtractPlato });
  if (!balance.ok) return balance;
  const alcohol = balance.value.alcoholMassPercent / 100;
  const wortGram = densityAt20FromGravity(gravityAt(originalExtractPlato));
  const drinkGram = wortGram / (1 + (extractPerAlcohol - 1) * alcohol);
  return ok(carbonDioxidePerAlcohol * alcohol * drinkGram);
};

export type GasInput = {
  readonly originalExtractPlato: number;
  /** Apparent extract at the beginning and at the end of the span that is asked about. */
  readonly fromExtractPlato: number;
  readonly toExtractPlato: number;
  /** Wort as it was before fermentation. */
  readonly wortVolumeLitre: number;
};

export type GasMade = { readonly gram: number; readonly litre: number };

/** Carbon dioxide made while the apparent extract falls from one value to another. */
export const carbonDioxideMade = (input: GasInput): Result<GasMade, ScienceFault> => {
  const fault = firstOutside([
    ['wortVolumeLitre', input.wortVolumeLitre, 0, 1_000_000, 'L'],
    ['originalExtractPlato', input.originalExtractPlato, 1, 38, '°P'],
    ['toExtractPlato', input.toExtractPlato, -11, 38, '°P'],
    [
      'fromExtractPlato',
      input.fromExtractPlato,
      input.toExtractPlato,
      input.originalExtractPlato,
      '°P',
    ],
  ]);
  if (fault) return fail(fault);
  const before = madePerLitre(input.originalExtractPlato, input.fromExtractPlato);
  if (!before.ok) return before;
  const after = madePerLitre(input.originalExtractPlato, input.toExtractPlato);
  if (!after.ok) return after;
  const gram = (after.value - before.value) * input.wortVolumeLitre;
  return ok({ gram, litre: gram / gramPerGasLitre });
};

/** Carbon dioxide made per hour, g/h, from the present rate of fall of apparent extract in °P per hour. */
export const carbonDioxideGramPerHour = (input: {
  readonly originalExtractPlato: number;
  readonly apparentExtractPlato: number;
  /** Positive while the extract falls. */
  readonly extractFallPlatoPerHour: number;
  readonly wortVolumeLitre: number;
}): Result<number, ScienceFault> => {
  const fault = firstOutside([
    ['extractFallPlatoPerHour', input.extractFallPlatoPerHour, 0, 3, '°P/h'],
    ['wortVolumeLitre', input.wortVolumeLitre, 0, 1_000_000, 'L'],
  ]);
  if (fault) return fail(fault);
  // The made gas is smooth in the extract: a step of a thousandth of a °P gives its slope to five digits.
  const step = 1e-3;
  const here = madePerLitre(input.originalExtractPlato, input.apparentExtractPlato);
  if (!here.ok) return here;
  const above = input.apparentExtractPlato + step <= input.originalExtractPlato;
  const beside = madePerLitre(
    input.originalExtractPlato,
    input.apparentExtractPlato + (above ? step : -step),
  );
  if (!beside.ok) return beside;
  const gramPerPlato = Math.abs(here.value - beside.value) / step;
  return ok(gramPerPlato * input.extractFallPlatoPerHour * input.wortVolumeLitre);
};

export type GasReleased = {
  /** Made from the start of fermentation, g. */
  readonly madeGram: number;
  /** Still in the liquid at rest under the head pressure, g. */
  readonly heldGram: number;
  /** Left the liquid: never below zero. */
  readonly releasedGram: number;
  readonly releasedLitre: number;
};

/** What a vented fermenter has let go into the room since it was pitched. */
export const carbonDioxideReleased = (input: {
  readonly originalExtractPlato: number;
  readonly apparentExtractPlato: number;
  readonly wortVolumeLitre: number;
  readonly drink: Drink;
  readonly gaugePressurePascal: number;
  readonly temperatureCelsius: number;
  readonly ambientPressurePascal: number;
}): Result<GasReleased, ScienceFault> => {
  const made = carbonDioxideMade({
    originalExtractPlato: input.originalExtractPlato,
    fromExtractPlato: input.originalExtractPlato,
    toExtractPlato: input.apparentExtractPlato,
    wortVolumeLitre: input.wortVolumeLitre,
  });
  if (!made.ok) return made;
  const held = carbonationAtPressure(input);
  if (!held.ok) return held;
  const mostGram = held.value.carbonDioxideGramPerLitre * input.wortVolumeLitre;
  const heldGram = Math.min(mostGram, made.value.gram);
  const releasedGram = made.value.gram - heldGram;
  return ok({
    madeGram: made.value.gram,
    heldGram,
    releasedGram,
    releasedLitre: releasedGram / gramPerGasLitre,
  });
};
