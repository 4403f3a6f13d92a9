/**
 * Why a calculation gave no number: one tagged union for the whole of science, with the numbers that
 * failed inside the arm. No correlation is used outside the range its author gave it, and no NaN or
 * Infinity crosses a module border. Pure: no I/O, no clock, no randomness.
 */

export type ScienceFault =
  /** A value lies outside the range in which the formula is valid. */
  | {
      readonly kind: 'outside-range';
      readonly field: string;
      readonly value: number;
      readonly low: number;
      readonly high: number;
      readonly unit: string;
    }
  /** A value is NaN or infinite. */
  | { readonly kind: 'not-a-number'; readonly field: string }
  /** Two values contradict each other: each is possible alone, both together are not. */
  | {
      readonly kind: 'contradiction';
      readonly field: string;
      readonly value: number;
      readonly against: string;
      readonly againstValue: number;
      readonly unit: string;
      readonly reason: string;
    }
  /** The liquid fills the vessel to the brim: no gas space is left and the pressure has no bound. */
  | {
      readonly kind: 'liquid-full';
      readonly field: string;
      readonly vesselVolumeLitre: number;
      readonly liquidVolumeLitre: number;
      readonly temperatureCelsius: number;
    }
  /** A list that must hold something is empty, or a target cannot be met. */
  | { readonly kind: 'no-solution'; readonly field: string; readonly reason: string };

type Bound = readonly [field: string, value: number, low: number, high: number, unit: string];

/** The first of the bounds that is broken, as a fault; null when every value lies inside. */
export const firstOutside = (bounds: readonly Bound[]): ScienceFault | null => {
  for (const [field, value, low, high, unit] of bounds) {
    if (!Number.isFinite(value)) return { kind: 'not-a-number', field };
    // Turned this way round, a bound that is itself not a number lets nothing pass.
    if (!(value >= low && value <= high)) {
      return { kind: 'outside-range', field, value, low, high, unit };
    }
  }
  return null;
};

/** Six digits: enough to see what offended, without the tail of floating point. */
const shown = (value: number): string => String(Number(value.toPrecision(6)));

/** The fault as one sentence: lower case, the field, the offending value, what would be accepted. */
export const describeFault = (fault: ScienceFault): string => {
  switch (fault.kind) {
    case 'outside-range':
      return `${fault.field} is ${shown(fault.value)} ${fault.unit}, outside the range of ${shown(fault.low)} to ${shown(fault.high)} ${fault.unit} in which the formula holds; give a value inside it`;
    case 'not-a-number':
      return `${fault.field} is not a finite number; give a number`;
    case 'contradiction':
      return `${fault.field} of ${shown(fault.value)} ${fault.unit} contradicts ${fault.against} of ${shown(fault.againstValue)} ${fault.unit}: ${fault.reason}`;
    case 'liquid-full':
      return `${fault.field}: at ${shown(fault.temperatureCelsius)} °C the liquid takes ${fault.liquidVolumeLitre.toFixed(2)} L of a vessel of ${shown(fault.vesselVolumeLitre)} L, so no gas space is left and the pressure has no bound; leave more headspace or keep it colder`;
    case 'no-solution':
      return `${fault.field}: ${fault.reason}`;
  }
};
