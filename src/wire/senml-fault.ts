/**
 * Every way in which a SenML pack can be refused, and each in words. `record` is the index of the
 * record in the pack, counted from 0; `found` is the offending value, short and safe to print.
 * Pure: no I/O, no clock.
 */
import { recordPlace } from './record-place.ts';

export type SenmlFault =
  | { readonly kind: 'not-json'; readonly found: string }
  | { readonly kind: 'not-an-array'; readonly found: string }
  | { readonly kind: 'empty-pack' }
  | { readonly kind: 'not-an-object'; readonly record: number; readonly found: string }
  | {
      readonly kind: 'wrong-type';
      readonly record: number;
      readonly field: string;
      readonly expected: string;
      readonly found: string;
    }
  | {
      readonly kind: 'not-finite';
      readonly record: number;
      readonly field: string;
      readonly found: string;
    }
  | { readonly kind: 'must-understand'; readonly record: number; readonly found: string }
  | {
      readonly kind: 'version-not-understood';
      readonly record: number;
      readonly field: 'bver';
      readonly found: number;
      readonly understood: readonly number[];
    }
  | {
      readonly kind: 'version-changed';
      readonly record: number;
      readonly field: 'bver';
      readonly found: number;
      readonly earlier: number;
    }
  | { readonly kind: 'value-missing'; readonly record: number }
  | { readonly kind: 'several-values'; readonly record: number; readonly fields: readonly string[] }
  | { readonly kind: 'name-missing'; readonly record: number; readonly field: 'n' }
  | {
      readonly kind: 'name-malformed';
      readonly record: number;
      readonly field: 'n';
      readonly found: string;
    };

export const senmlFaultInWords = (fault: SenmlFault): string => {
  switch (fault.kind) {
    case 'not-json':
      return `the body is not JSON, it begins ${fault.found}; send a SenML pack as one JSON array`;
    case 'not-an-array':
      return `the body is ${fault.found}; send a SenML pack, a JSON array of records`;
    case 'empty-pack':
      return 'the pack holds no record; send at least one';
    case 'not-an-object':
      return `${recordPlace(fault.record, null)} is ${fault.found}; send each record as a JSON object`;
    case 'wrong-type':
      return `${recordPlace(fault.record, fault.field)} is ${fault.found}; send ${fault.expected}`;
    case 'not-finite':
      return `${recordPlace(fault.record, fault.field)} comes to ${fault.found} with its base value; send numbers that a 64-bit float can hold`;
    case 'must-understand':
      return `${recordPlace(fault.record, null)} has the field ${fault.found}, which must be understood and is not; send the pack without it`;
    case 'version-not-understood':
      return `${recordPlace(fault.record, fault.field)} is ${fault.found}; send a pack of version ${fault.understood.join(' or ')}`;
    case 'version-changed':
      return `${recordPlace(fault.record, fault.field)} is ${fault.found} after records of version ${fault.earlier}; give all records of a pack one version`;
    case 'value-missing':
      return `${recordPlace(fault.record, null)} has no value; give it one of v, vs, vb, vd or a sum s`;
    case 'several-values':
      return `${recordPlace(fault.record, null)} has ${fault.fields.join(' and ')}; give each record one value`;
    case 'name-missing':
      return `${recordPlace(fault.record, fault.field)} is missing and there is no base name bn; give the record a name`;
    case 'name-malformed':
      return `${recordPlace(fault.record, fault.field)} makes the name ${fault.found}; begin it with a letter or digit and use only letters, digits and - : . / _`;
  }
};
