/**
 * Heat of fermentation: what must be cooled away, and what happens when cooling fails.
 *
 * Heat per kg of extract, as a band because published figures differ by basis: 560 kJ/kg (24 kcal per mol
 * of hexose, "generally accepted", Colombié et al. 2007 at second hand; Barth and Farber 2019 print the
 * same) to 650 kJ/kg (ASHRAE Refrigeration, 280 BTU/lb, from memory). A figure of 1217 kJ/kg quoted from
 * Briggs 2004 stands on another basis and is left out. Specific heat 4.05 kJ/(kg K) (Briggs et al. 2004,
 * at second hand). Loss to the room is dropped, so the real vessel warms more slowly.
 * Pure: no I/O, no clock, no randomness.
 */
import { fail, ok, type Result } from '../result.ts';
import { attenuated, extractPerAlcohol } from './balling.ts';
import { firstOutside, type ScienceFault } from './fault.ts';
import { gravityAt } from './gravity.ts';
import { densityAt20FromGravity } from './sucrose-density.ts';

export const heatKilojoulePerKilogramExtract = { low: 560, high: 650 } as const;
const specificHeat = 4.05;

/**
 * How much faster yeast works ten kelvin warmer, for the early end of the band. Common practice, no source:
 * 2 to 3 is usual for a biological rate; a larger figure moves the early end forward.
 */
const rateFactorPerTenKelvin = 2.5;

/** A fall slower than this, a thousandth of a °P in 40 days, is none. */
const stillPlatoPerHour = 1e-6;

export type Band = { readonly low: number; readonly high: number };

/** Extract consumed since pitching, as a fraction of the wort's mass before fermentation. */
const consumedFraction = (original: number, apparent: number): Result<number, ScienceFault> => {
  const balance = attenuated({ originalExtractPlato: original, apparentExtractPlato: apparent });
  if (!balance.ok) return balance;
  const alcohol = balance.value.alcoholMassPercent / 100;
  return ok((extractPerAlcohol * alcohol) / (1 + (extractPerAlcohol - 1) * alcohol));
};

/** Extract consumed between two apparent extracts, as a fraction of the wort's mass. */
const fermentedFraction = (
  original: number,
  from: number,
  to: number,
): Result<number, ScienceFault> => {
  const before = consumedFraction(original, from);
  if (!before.ok) return before;
  const after = consumedFraction(original, to);
  return after.ok ? ok(after.value - before.value) : after;
};

const fallBounds = (original: number, from: number, to: number): ScienceFault | null =>
  firstOutside([
    ['originalExtractPlato', original, 1, 38, '°P'],
    ['terminalExtractPlato', to, -11, 38, '°P'],
    ['presentExtractPlato', from, to, original, '°P'],
  ]);

/** Kelvin by which the drink warms while it ferments on, with no cooling at all. */
export const riseWithoutCooling = (input: {
  readonly originalExtractPlato: number;
  readonly presentExtractPlato: number;
  readonly terminalExtractPlato: number;
}): Result<Band, ScienceFault> => {
  const { originalExtractPlato: original, presentExtractPlato: from } = input;
  const fault = fallBounds(original, from, input.terminalExtractPlato);
  if (fault) return fail(fault);
  const fraction = fermentedFraction(original, from, input.terminalExtractPlato);
  if (!fraction.ok) return fraction;
  return ok({
    low: (fraction.value * heatKilojoulePerKilogramExtract.low) / specificHeat,
    high: (fraction.value * heatKilojoulePerKilogramExtract.high) / specificHeat,
  });
};

/** Watts to be cooled away while the apparent extract falls at a rate. */
export const heatWatt = (input: {
  readonly originalExtractPlato: number;
  readonly presentExtractPlato: number;
  /** Positive while the extract falls. */
  readonly extractFallPlatoPerHour: number;
  readonly volumeLitre: number;
}): Result<Band, ScienceFault> => {
  const fault = firstOutside([
    ['extractFallPlatoPerHour', input.extractFallPlatoPerHour, 0, 3, '°P/h'],
    ['volumeLitre', input.volumeLitre, 0, 1_000_000, 'L'],
  ]);
  if (fault) return fail(fault);
  // The consumed extract is smooth in the apparent one: a step of a thousandth gives its slope.
  const step = 1e-3;
  const above = Math.min(input.presentExtractPlato + step, input.originalExtractPlato);
  const perStep = fermentedFraction(input.originalExtractPlato, above, above - step);
  if (!perStep.ok) return perStep;
  const kilogram =
    (input.volumeLitre * densityAt20FromGravity(gravityAt(input.originalExtractPlato))) / 1000;
  const kilogramPerSecond =
    ((perStep.value / step) * input.extractFallPlatoPerHour * kilogram) / 3600;
  return ok({
    low: 1000 * kilogramPerSecond * heatKilojoulePerKilogramExtract.low,
    high: 1000 * kilogramPerSecond * heatKilojoulePerKilogramExtract.high,
  });
};

export type CoolingFailure =
  /** The limit is reached between these times from the failure on; the later is null if it may never be. */
  | {
      readonly kind: 'reaches-limit';
      readonly earliestSeconds: number;
      readonly latestSeconds: number | null;
    }
  /** All the heat left in the extract does not carry it to the limit. */
  | { readonly kind: 'stays-below'; readonly highestCelsius: number };

const hour = 3600;

/**
 * Seconds until a rise is spent, when the rate falls in proportion to the extract left and grows by
 * `factor` per ten kelvin: the time integral over the rise, by the midpoint rule.
 */
const secondsToRise = (
  rise: number,
  wholeRise: number,
  kelvinPerHour: number,
  factor: number,
  rateFalls: boolean,
): number => {
  const steps = 400;
  let hours = 0;
  for (let index = 0; index < steps; index += 1) {
    const at = (rise * (index + 0.5)) / steps;
    const left = rateFalls ? 1 - at / wholeRise : 1;
    hours += rise / steps / (kelvinPerHour * left * factor ** (at / 10));
  }
  return hours * hour;
};

/** Time until the yeast's upper limit if cooling fails at this moment. */
export const timeToLimitWithoutCooling = (input: {
  readonly originalExtractPlato: number;
  readonly presentExtractPlato: number;
  readonly terminalExtractPlato: number;
  readonly extractFallPlatoPerHour: number;
  readonly temperatureCelsius: number;
  readonly limitCelsius: number;
}): Result<CoolingFailure, ScienceFault> => {
  const fault = firstOutside([
    ['extractFallPlatoPerHour', input.extractFallPlatoPerHour, 0, 3, '°P/h'],
    ['temperatureCelsius', input.temperatureCelsius, -2, 45, '°C'],
    ['limitCelsius', input.limitCelsius, 0, 45, '°C'],
  ]);
  if (fault) return fail(fault);
  const whole = riseWithoutCooling(input);
  if (!whole.ok) return whole;
  const rise = input.limitCelsius - input.temperatureCelsius;
  if (rise <= 0) return ok({ kind: 'reaches-limit', earliestSeconds: 0, latestSeconds: 0 });
  const still = input.extractFallPlatoPerHour < stillPlatoPerHour;
  if (whole.value.high <= rise || still) {
    const warmed = still ? 0 : whole.value.high;
    return ok({ kind: 'stays-below', highestCelsius: input.temperatureCelsius + warmed });
  }
  const share =
    input.extractFallPlatoPerHour / (input.presentExtractPlato - input.terminalExtractPlato);
  return ok({
    kind: 'reaches-limit',
    earliestSeconds: secondsToRise(
      rise,
      whole.value.high,
      share * whole.value.high,
      rateFactorPerTenKelvin,
      false,
    ),
    latestSeconds:
      whole.value.low > rise
        ? secondsToRise(rise, whole.value.low, share * whole.value.low, 1, true)
        : null,
  });
};
