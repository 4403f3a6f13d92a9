/**
 * What kind of quantity a number is, so that it may be typed and shown in the trade's units: those of
 * science/units/convert.ts, gravity in any of its scales, and shares as a fraction or per cent.
 * Pure: no I/O, no clock, no randomness.
 */
import { fail, ok, type Result } from '../../result.ts';
import type { ScienceFault } from '../../science/fault.ts';
import {
  convert,
  convertGravity,
  gravityUnits,
  isGravityUnit,
  isUnitOf,
  type Quantity,
  unitsOf,
} from '../../science/units/convert.ts';

export type Measure = Quantity | 'gravity' | 'share';

const perCent = 100;
const shareUnits = ['', '%'] as const;

export const unitsOfMeasure = (measure: Measure): readonly string[] => {
  if (measure === 'gravity') return gravityUnits;
  return measure === 'share' ? shareUnits : unitsOf(measure);
};

const noUnit = (measure: Measure, unit: string): Result<never, ScienceFault> =>
  fail({
    kind: 'no-solution',
    field: measure,
    reason: `no unit ${unit}; use one of ${unitsOfMeasure(measure).join(', ')}`,
  });

const convertQuantity = <Q extends Quantity>(
  quantity: Q,
  value: number,
  from: string,
  to: string,
): Result<number, ScienceFault> => {
  if (!isUnitOf(quantity, from)) return noUnit(quantity, from);
  return isUnitOf(quantity, to) ? convert(quantity, value, from, to) : noUnit(quantity, to);
};

/** A value in one unit of a measure as a value in another. */
export const convertMeasure = (
  measure: Measure,
  value: number,
  from: string,
  to: string,
): Result<number, ScienceFault> => {
  if (from === to) return ok(value);
  if (measure === 'share') return ok(to === '%' ? value * perCent : value / perCent);
  if (measure !== 'gravity') return convertQuantity(measure, value, from, to);
  if (!isGravityUnit(from)) return noUnit(measure, from);
  return isGravityUnit(to) ? convertGravity(value, from, to) : noUnit(measure, to);
};

/** Hand-written units lose their degree signs and capitals: "65f" and "12 p" are °F and °P. */
const plain = (unit: string): string => unit.replaceAll(/[°\s]/g, '').toLowerCase();

/** The unit of a measure that a person meant, or null. */
export const unitMeant = (measure: Measure, typed: string): string | null => {
  const units = unitsOfMeasure(measure);
  return (
    units.find((unit) => unit === typed) ??
    units.find((unit) => plain(unit) === plain(typed)) ??
    null
  );
};
