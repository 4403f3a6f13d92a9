/**
 * The schema of a calculation's JSON body, made from its fields. It checks shape alone: which members,
 * numbers that are finite, choices, lengths. Ranges are left to science/, so that they stand in one place.
 * Pure: no I/O, no clock, no randomness.
 */
import * as z from 'zod';
import type { Field, Fields } from './field.ts';

/** What a JSON Schema says of a field beside its type. */
const described = (schema: z.ZodType, field: Field): z.ZodType =>
  schema.meta({
    title: field.label,
    ...(field.hint === undefined ? {} : { description: field.hint }),
    ...(field.kind === 'number' && field.unit !== '' ? { unit: field.unit } : {}),
    ...(field.example === undefined || field.example === null ? {} : { examples: [field.example] }),
  });

const number = (unit: string): z.ZodType =>
  z.number(unit === '' ? 'must be a number' : `must be a number, in ${unit}`);

const schemaOfField = (field: Field): z.ZodType => {
  switch (field.kind) {
    case 'number':
      if (field.need === 'given') return number(field.unit);
      return field.need === 'preset'
        ? number(field.unit).default(field.preset)
        : number(field.unit).nullable().default(null);
    case 'choice': {
      const options = Object.keys(field.options);
      return z.enum(options, `must be one of ${options.join(', ')}`).default(options[0] ?? '');
    }
    case 'name':
      return z
        .string('must be a name')
        .trim()
        .min(1, 'must not be blank')
        .max(60, 'must have at most 60 characters');
    case 'rows':
      return z
        .array(schemaOf(field.fields), 'must be a list')
        .min(field.least, `must hold at least ${field.least}`)
        .max(field.most, `must hold at most ${field.most}`);
  }
};

export const schemaOf = (fields: Fields): z.ZodType =>
  z.strictObject(
    Object.fromEntries(
      Object.entries(fields).map(([name, field]) => [name, described(schemaOfField(field), field)]),
    ),
  );
