/**
 * Puts a fault of science where the body has the value: a formula knows its own arguments, a body its
 * fields, and the two differ where a gravity was turned into extract or a list into its members.
 * Pure: no I/O, no clock, no randomness.
 */
import { fail, type Result } from '../../result.ts';
import type { ScienceFault } from '../../science/fault.ts';

/** The field of the body, and how a value of the formula reads there where the units differ. */
export type Place =
  | string
  | {
      readonly field: string;
      readonly unit: string;
      readonly read: (value: number) => number;
    };

export type Places = Readonly<Record<string, Place>>;

const fieldAt = (places: Places, field: string): string => {
  const place = places[field] ?? field;
  return typeof place === 'string' ? place : place.field;
};

const locate = (fault: ScienceFault, places: Places): ScienceFault => {
  const place = Object.hasOwn(places, fault.field) ? places[fault.field] : undefined;
  if (place === undefined) return fault;
  const field = fieldAt(places, fault.field);
  const unit = typeof place === 'string' ? null : place;
  switch (fault.kind) {
    case 'outside-range':
      return unit === null
        ? { ...fault, field }
        : {
            ...fault,
            field,
            value: unit.read(fault.value),
            low: unit.read(fault.low),
            high: unit.read(fault.high),
            unit: unit.unit,
          };
    case 'contradiction':
      return {
        ...fault,
        field,
        against: fieldAt(places, fault.against),
        ...(unit === null
          ? {}
          : {
              value: unit.read(fault.value),
              againstValue: unit.read(fault.againstValue),
              unit: unit.unit,
            }),
      };
    default:
      return { ...fault, field };
  }
};

export const located = <Value>(
  result: Result<Value, ScienceFault>,
  places: Places,
): Result<Value, ScienceFault> => (result.ok ? result : fail(locate(result.fault, places)));
