/**
 * A calculation, declared once: what it is given, what it answers, the function between, its sources and
 * its caution. From that come the JSON route, the list with its JSON Schemas, and the page with its form.
 * Faults name the field as the body names it. Pure: no I/O, no clock, no randomness.
 */
import type * as z from 'zod';
import type { Result } from '../../result.ts';
import type { ScienceFault } from '../../science/fault.ts';
import { parse } from '../parse.ts';
import type { Fields, InputOf } from './field.ts';
import type { Figures, Results, ResultsOf } from './figure.ts';
import { schemaOf } from './schema.ts';

type Declared<Inputs extends Fields, Answers extends Figures> = {
  /** As it stands in addresses. */
  readonly name: string;
  readonly title: string;
  /** What it is for, in one sentence. */
  readonly purpose: string;
  readonly inputs: Inputs;
  /** In the order of the page; the first number is the one that matters most. */
  readonly answers: Answers;
  /** Where someone can be hurt. */
  readonly caution?: string;
  readonly work: (input: InputOf<Inputs>) => Result<ResultsOf<Answers>, ScienceFault>;
};

export type Calculation = Omit<Declared<Fields, Figures>, 'work'> & {
  readonly schema: z.ZodType;
  /** Refuses a body of the wrong shape by throwing; a value out of range comes back as a fault. */
  readonly calculate: (body: unknown) => Result<Results, ScienceFault>;
};

/** Everything that a result holds, down to the cells of its tables. */
const leaves = (value: unknown): readonly unknown[] =>
  typeof value === 'object' && value !== null ? Object.values(value).flatMap(leaves) : [value];

/** Science lets no NaN out; if one came all the same, JSON would turn it into null unasked. */
const demandFinite = (name: string, results: Results): void => {
  const broken = leaves(results).some((leaf) => typeof leaf === 'number' && !Number.isFinite(leaf));
  if (broken) throw new Error(`calculation ${name} gave a number that is not finite`);
};

export const calculation = <const Inputs extends Fields, const Answers extends Figures>({
  work,
  ...declared
}: Declared<Inputs, Answers>): Calculation => {
  const schema = schemaOf(declared.inputs);
  return {
    ...declared,
    schema,
    calculate: (body) => {
      const outcome = work(parse(schema, body) as InputOf<Inputs>);
      if (outcome.ok) demandFinite(declared.name, outcome.value);
      return outcome;
    },
  };
};
