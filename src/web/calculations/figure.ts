/**
 * What a calculation answers, as data: each figure once, with its label, its unit, its digits and the
 * sources it rests on. The JSON answer and the page both come from it.
 * Pure: no I/O, no clock, no randomness.
 */
import type { Unit } from './field.ts';
import type { Source } from './source.ts';

/** A count, or seven digits in all where the sizes differ by powers of ten. */
export type Decimals = number | 'seven-digits';

type Words = { readonly label: string; readonly sources: readonly Source[] };

type NumberFigure = Words &
  Unit & {
    readonly kind: 'number';
    /** Decimals in the unit shown: what the formula and the usual instruments bear out. */
    readonly decimals: Decimals;
    /** What stands in its place where there is no number; only then may it be null. */
    readonly none?: string;
    /** The field without which it means nothing: the page then leaves it out. */
    readonly needs?: string;
  };

type SentenceFigure = Words & { readonly kind: 'sentence' };
type SentencesFigure = Words & { readonly kind: 'sentences' };

type VerdictFigure = Words & {
  readonly kind: 'verdict';
  readonly verdicts: Readonly<
    Record<string, { readonly title: string; readonly rank: 'plain' | 'medium' | 'high' }>
  >;
};

export type Column =
  | (Unit & { readonly kind: 'number'; readonly label: string; readonly decimals: Decimals })
  | { readonly kind: 'name'; readonly label: string };

type TableFigure = Words & {
  readonly kind: 'table';
  readonly columns: Readonly<Record<string, Column>>;
};

export type Figure = NumberFigure | SentenceFigure | SentencesFigure | VerdictFigure | TableFigure;
export type Figures = Readonly<Record<string, Figure>>;

export type Verdict = { readonly kind: string; readonly words: string };

type CellOf<One> = One extends { readonly kind: 'name' } ? string : number;

type FigureOf<One> = One extends { readonly kind: 'number'; readonly none: string }
  ? number | null
  : One extends { readonly kind: 'number' }
    ? number
    : One extends { readonly kind: 'sentence' }
      ? string | null
      : One extends { readonly kind: 'sentences' }
        ? readonly string[]
        : One extends { readonly kind: 'verdict'; readonly verdicts: infer Verdicts }
          ? { readonly kind: keyof Verdicts & string; readonly words: string } | null
          : One extends { readonly kind: 'table'; readonly columns: infer Columns }
            ? readonly { readonly [Name in keyof Columns]: CellOf<Columns[Name]> }[]
            : never;

export type ResultsOf<All> = { readonly [Name in keyof All]: FigureOf<All[Name]> };

export type TableRow = Readonly<Record<string, string | number>>;

/** Any result, once the calculation it belongs to is no longer known by type. */
export type Results = Readonly<
  Record<string, number | string | null | readonly string[] | Verdict | readonly TableRow[]>
>;
