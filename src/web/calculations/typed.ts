/**
 * What a person typed into the form of a calculation, turned into the body that the JSON interface takes,
 * so that both go one way. A decimal comma is taken as a point; a number may carry another unit of its kind
 * ("30 psi", "12 °P"); blank rows of a list are passed over. What cannot be read comes back in words, under
 * the name of the form's field. Pure: no I/O, no clock, no randomness.
 */
import { describeFault } from '../../science/fault.ts';
import { typedWords } from '../messages.ts';
import { type Field, type Fields, type NumberField, typedName, typedUnit } from './field.ts';
import { convertMeasure, unitMeant, unitsOfMeasure } from './measure.ts';

/** One sentence for one field of the form. */
export type Problem = { readonly name: string; readonly words: string };

export type Typed = {
  /** As the schema takes it. */
  readonly body: Readonly<Record<string, unknown>>;
  readonly problems: readonly Problem[];
  /** For each list, where in the form each of its members stood. */
  readonly rowsTaken: Readonly<Record<string, readonly number[]>>;
};

type Read =
  | { readonly kind: 'value'; readonly value: unknown }
  | { readonly kind: 'problem'; readonly words: string };

const value = (read: unknown): Read => ({ kind: 'value', value: read });
const problem = (words: string): Read => ({ kind: 'problem', words });

/** Digits with a sign, a point or comma and spaces between; then perhaps a unit. */
const numberAndUnit = /^([+\-\u2212]?[\d.,\s]*\d(?:[.,]|e[+-]?\d+)?)\s*(\D.*)?$/i;

const readNumber = (text: string, field: NumberField, label: string): Read => {
  if (text === '') {
    if (field.need === 'if-known') return value(null);
    return field.need === 'preset'
      ? value(field.preset)
      : problem(typedWords.missing(label, typedUnit(field)));
  }
  const [, digits = '', unitTyped = ''] = numberAndUnit.exec(text) ?? [];
  const number = Number(digits.replaceAll(/\s/g, '').replace('\u2212', '-').replace(',', '.'));
  if (digits === '' || !Number.isFinite(number)) return problem(typedWords.noNumber(label, text));
  const { measure } = field;
  const from =
    unitTyped === '' || unitTyped === typedUnit(field)
      ? typedUnit(field)
      : measure === undefined
        ? null
        : unitMeant(measure, unitTyped);
  if (from === null) {
    const units = measure === undefined ? [typedUnit(field)] : unitsOfMeasure(measure);
    return problem(typedWords.noUnit(label, unitTyped, units));
  }
  if (measure === undefined || from === field.unit) return value(number);
  const stored = convertMeasure(measure, number, from, field.unit);
  if (!stored.ok) return problem(describeFault({ ...stored.fault, field: label }));
  // Twelve digits undo what a factor adds in binary: 1.1 bar is 110000 Pa.
  return value(Number(stored.value.toPrecision(12)));
};

const readField = (text: string, field: Field, label: string): Read => {
  if (field.kind === 'number') return readNumber(text, field, label);
  if (field.kind === 'choice') return value(text === '' ? undefined : text);
  return text === '' ? problem(typedWords.missingName(label)) : value(text);
};

const textAt = (query: URLSearchParams, name: string): string => query.get(name)?.trim() ?? '';

type Flat = { readonly body: Record<string, unknown>; readonly problems: readonly Problem[] };

const readFields = (
  fields: Fields,
  query: URLSearchParams,
  prefix: string,
  labelPrefix: string,
): Flat => {
  const body: Record<string, unknown> = {};
  const problems: Problem[] = [];
  for (const [name, field] of Object.entries(fields)) {
    if (field.kind === 'rows') continue;
    const formName = `${prefix}${typedName(name, field)}`;
    const read = readField(textAt(query, formName), field, `${labelPrefix}${field.label}`);
    if (read.kind === 'problem') problems.push({ name: formName, words: read.words });
    else if (read.value !== undefined) body[name] = read.value;
  }
  return { body, problems };
};

/** A row counts as filled in as soon as something was typed into it; a choice always stands somewhere. */
const isFilled = (fields: Fields, query: URLSearchParams, prefix: string): boolean =>
  Object.entries(fields).some(
    ([name, field]) =>
      field.kind !== 'choice' && textAt(query, `${prefix}${typedName(name, field)}`) !== '',
  );

export const readTyped = (inputs: Fields, query: URLSearchParams): Typed => {
  const whole = readFields(inputs, query, '', '');
  const problems = [...whole.problems];
  const rowsTaken: Record<string, readonly number[]> = {};
  for (const [list, field] of Object.entries(inputs)) {
    if (field.kind !== 'rows') continue;
    const taken: number[] = [];
    const members: unknown[] = [];
    for (let row = 0; row < field.most; row += 1) {
      const prefix = `${list}.${row}.`;
      if (!isFilled(field.fields, query, prefix)) continue;
      const member = readFields(
        field.fields,
        query,
        prefix,
        `${typedWords.row(field.each, row)}, `,
      );
      problems.push(...member.problems);
      taken.push(row);
      members.push(member.body);
    }
    if (members.length < field.least) {
      const first = Object.entries(field.fields)[0];
      problems.push({
        name: first === undefined ? list : `${list}.0.${typedName(...first)}`,
        words: typedWords.tooFew(field.label, field.each, field.least),
      });
    }
    whole.body[list] = members;
    rowsTaken[list] = taken;
  }
  return { body: whole.body, problems, rowsTaken };
};

/** How many rows of a list the form shows: those offered, and one more than are filled. */
export const rowsShown = (
  list: string,
  field: Extract<Field, { kind: 'rows' }>,
  query: URLSearchParams,
): number => {
  let filled = 0;
  for (let row = 0; row < field.most; row += 1) {
    if (isFilled(field.fields, query, `${list}.${row}.`)) filled = row + 1;
  }
  return Math.min(field.most, Math.max(field.offered, filled + 1));
};
