/** Operations of the calculations, one for each, made from their table. Pure data. */
import * as z from 'zod';
import type { Calculation } from '../../calculations/calculation.ts';
import { exampleBody } from '../../calculations/example.ts';
import type { Column, Figure } from '../../calculations/figure.ts';
import { calculations } from '../../calculations/table.ts';
import { answers, type Operation, sends } from '../operation.ts';
import { answerNamed } from '../schema-book.ts';

const cell = (column: Column): z.ZodType => (column.kind === 'name' ? z.string() : z.number());

const result = (figure: Figure): z.ZodType => {
  switch (figure.kind) {
    case 'number':
      return figure.none === undefined ? z.number() : z.number().nullable();
    case 'sentence':
      return z.string().nullable();
    case 'sentences':
      return z.array(z.string());
    case 'verdict':
      return z
        .strictObject({ kind: z.enum(Object.keys(figure.verdicts)), words: z.string() })
        .nullable();
    case 'table':
      return z.array(
        z.strictObject(
          Object.fromEntries(
            Object.entries(figure.columns).map(([name, column]) => [name, cell(column)]),
          ),
        ),
      );
  }
};

const described = (figure: Figure): z.ZodType =>
  result(figure).meta({
    title: figure.label,
    ...(figure.kind === 'number' && figure.unit !== '' ? { unit: figure.unit } : {}),
  });

const source = answerNamed<{ source: string; holds: string; figures: string[] }>()(
  'Source',
  z.strictObject({ source: z.string(), holds: z.string(), figures: z.array(z.string()) }),
);

const summary = {
  name: z.string(),
  title: z.string(),
  purpose: z.string(),
  href: z.string(),
  page: z.string(),
  body: z.looseObject({}),
  results: z.record(z.string(), z.looseObject({ label: z.string(), kind: z.string() })),
  sources: z.array(source),
  caution: z.string().nullable(),
};

const description = z.strictObject(summary);

const names = calculations.map(({ name }) => name);

const one = (calculation: Calculation): Operation => ({
  id: `calculate-${calculation.name}`,
  group: 'Calculations',
  method: 'post',
  path: `/v1/calculations/${calculation.name}`,
  route: '/v1/calculations/:name',
  title: calculation.title,
  words: [calculation.purpose, calculation.caution ?? ''].join(' ').trim(),
  who: 'anyone',
  bodies: sends(calculation.schema, exampleBody(calculation)),
  answer: answers(
    200,
    'The figures, with what each rests on.',
    z.strictObject({
      calculation: z.literal(calculation.name),
      results: z.strictObject(
        Object.fromEntries(
          Object.entries(calculation.answers).map(([name, figure]) => [name, described(figure)]),
        ),
      ),
      sources: z.array(source),
      caution: z.string().nullable(),
    }),
  ),
});

export const calculationOperations: readonly Operation[] = [
  {
    id: 'list-calculations',
    group: 'Calculations',
    method: 'get',
    path: '/v1/calculations',
    title: 'All calculations',
    who: 'anyone',
    answer: answers(
      200,
      'Each with its figures and sources.',
      z.strictObject({ calculations: z.array(description) }),
    ),
  },
  ...names.map(
    (name): Operation => ({
      id: `describe-${name}`,
      group: 'Calculations',
      method: 'get',
      path: `/v1/calculations/${name}`,
      route: '/v1/calculations/:name',
      title: `What ${name} is given and answers`,
      who: 'anyone',
      answer: answers(200, 'Its body, its figures and its sources.', description),
    }),
  ),
  ...calculations.map(one),
];
