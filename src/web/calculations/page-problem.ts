/**
 * Faults as the form shows them: at the field that was typed into, by its label, in the unit it was typed in.
 * Pure: no I/O, no clock, no randomness.
 */
import { describeFault, type ScienceFault } from '../../science/fault.ts';
import type { FieldFault } from '../fault.ts';
import { typedWords } from '../messages.ts';
import { type Field, type Fields, typedName, typedUnit } from './field.ts';
import { convertMeasure } from './measure.ts';
import type { Problem, Typed } from './typed.ts';

type Place = {
  /** Of the form's field; a list is led to by its first field. */
  readonly name: string;
  readonly label: string;
  readonly field: Field | null;
};

/** Where a field of the body stands in the form; blank rows were passed over on the way there. */
const placeOf = (inputs: Fields, { rowsTaken }: Pick<Typed, 'rowsTaken'>, path: string): Place => {
  const [name = '', member, own] = path.split('.');
  const field = inputs[name];
  if (field === undefined) return { name: path, label: path, field: null };
  if (field.kind !== 'rows') return { name: typedName(name, field), label: field.label, field };
  const row = rowsTaken[name]?.[Number(member ?? 0)] ?? 0;
  const ownField = own === undefined ? undefined : field.fields[own];
  if (own !== undefined && ownField !== undefined) {
    return {
      name: `${name}.${row}.${typedName(own, ownField)}`,
      label: `${typedWords.row(field.each, row)}, ${ownField.label}`,
      field: ownField,
    };
  }
  const first = Object.entries(field.fields)[0];
  return {
    name: first === undefined ? name : `${name}.${row}.${typedName(...first)}`,
    label: field.label,
    field: null,
  };
};

/** Brings the numbers of a fault into the unit that was typed, where the fault is in the stored one. */
const inUnitTyped = (fault: ScienceFault, field: Field | null): ScienceFault => {
  if (field?.kind !== 'number' || field.measure === undefined || !('unit' in fault)) return fault;
  const { measure, unit } = field;
  if (fault.unit !== unit || typedUnit(field) === unit) return fault;
  const read = (stored: number): number => {
    const typed = convertMeasure(measure, stored, unit, typedUnit(field));
    return typed.ok ? typed.value : stored;
  };
  const typed = { value: read(fault.value), unit: typedUnit(field) };
  return fault.kind === 'outside-range'
    ? { ...fault, ...typed, low: read(fault.low), high: read(fault.high) }
    : { ...fault, ...typed, againstValue: read(fault.againstValue) };
};

export const problemOfScience = (inputs: Fields, typed: Typed, fault: ScienceFault): Problem => {
  const { name, label, field } = placeOf(inputs, typed, fault.field);
  const own = { ...inUnitTyped(fault, field), field: label };
  return {
    name,
    words: describeFault(
      own.kind === 'contradiction'
        ? { ...own, against: placeOf(inputs, typed, own.against).label }
        : own,
    ),
  };
};

export const problemOfSchema = (inputs: Fields, typed: Typed, fault: FieldFault): Problem => {
  const { name, label } = placeOf(inputs, typed, fault.field);
  return { name, words: `${label} ${fault.detail}` };
};
