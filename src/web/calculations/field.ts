/**
 * What a calculation is given, as data: each field once, with its label, its unit, an example and how the
 * form takes it. The JSON schema (schema.ts), the form and the reading of what was typed all come from it.
 * Units live in the names of the fields; ranges live in science/, which refuses with the bounds.
 * Pure: no I/O, no clock, no randomness.
 */
import type { Measure } from './measure.ts';

/** How the form takes a number whose stored unit nobody types: in bar rather than Pa. */
type TypedAs = {
  readonly unit: string;
  /** Ending of the field's name, and what the form has in its place. */
  readonly ending: readonly [stored: string, typed: string];
};

export type Unit = {
  /** Empty where the number has none. */
  readonly unit: string;
  /** Set where other units of the same kind may be typed after the number. */
  readonly measure?: Measure;
  readonly typedAs?: TypedAs;
};

type Words = {
  readonly label: string;
  readonly hint?: string;
  /** The part of the form it stands in. */
  readonly part?: string;
  /** Seldom filled in: the form keeps it behind a title. */
  readonly seldom?: boolean;
};

type NumberFacts = Words & Unit & { readonly example: number | null };

type Given = NumberFacts & { readonly kind: 'number'; readonly need: 'given' };
type IfKnown = NumberFacts & { readonly kind: 'number'; readonly need: 'if-known' };
type Preset = NumberFacts & {
  readonly kind: 'number';
  readonly need: 'preset';
  readonly preset: number;
};
export type NumberField = Given | IfKnown | Preset;

export type ChoiceField<Options extends Readonly<Record<string, string>>> = Words & {
  readonly kind: 'choice';
  /** What may be chosen, each with its words; the first is what stands chosen. */
  readonly options: Options;
  readonly example?: string;
};

type NameField = Words & { readonly kind: 'name'; readonly example: string };

type FlatField = NumberField | ChoiceField<Readonly<Record<string, string>>> | NameField;

export type RowsField<Each extends Readonly<Record<string, FlatField>>> = Words & {
  readonly kind: 'rows';
  /** What one row is called; its number follows. */
  readonly each: string;
  readonly fields: Each;
  readonly least: number;
  readonly most: number;
  /** How many rows the form offers before any is filled. */
  readonly offered: number;
  readonly example: readonly Readonly<Record<string, string | number>>[];
};

export type Field = FlatField | RowsField<Readonly<Record<string, FlatField>>>;
export type Fields = Readonly<Record<string, Field>>;

type ValueOf<One> = One extends { readonly kind: 'number'; readonly need: 'if-known' }
  ? number | null
  : One extends { readonly kind: 'number' }
    ? number
    : One extends { readonly kind: 'choice'; readonly options: infer Options }
      ? keyof Options & string
      : One extends { readonly kind: 'name' }
        ? string
        : One extends { readonly kind: 'rows'; readonly fields: infer Each }
          ? readonly InputOf<Each>[]
          : never;

export type InputOf<All> = { readonly [Name in keyof All]: ValueOf<All[Name]> };

/** A number that must be given. */
export const given = (facts: NumberFacts): Given => ({ kind: 'number', need: 'given', ...facts });

/** A number that may be left out, and is then not known. */
export const ifKnown = (facts: NumberFacts): IfKnown => ({
  kind: 'number',
  need: 'if-known',
  ...facts,
});

/** A number that stands at a usual value until another is given. */
export const preset = (value: number, facts: Omit<NumberFacts, 'example'>): Preset => ({
  kind: 'number',
  need: 'preset',
  preset: value,
  example: value,
  ...facts,
});

export const choice = <const Options extends Readonly<Record<string, string>>>(
  facts: Omit<ChoiceField<Options>, 'kind'>,
): ChoiceField<Options> => ({ kind: 'choice', ...facts });

/** A short name that a person gives. */
export const named = (facts: Words & { readonly example: string }): NameField => ({
  kind: 'name',
  ...facts,
});

export const rows = <const Each extends Readonly<Record<string, FlatField>>>(
  facts: Omit<RowsField<Each>, 'kind'>,
): RowsField<Each> => ({ kind: 'rows', ...facts });

/** The unit in which the form takes and shows a number. */
export const typedUnit = (field: Unit): string => field.typedAs?.unit ?? field.unit;

/** The name under which the form sends a field: a name that says Pascal must not carry bar. */
export const typedName = (name: string, field: Field): string => {
  const typedAs = field.kind === 'number' ? field.typedAs : undefined;
  if (typedAs === undefined) return name;
  const [stored, typed] = typedAs.ending;
  return name.endsWith(stored) ? `${name.slice(0, -stored.length)}${typed}` : name;
};
