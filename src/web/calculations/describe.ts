/**
 * A calculation as the JSON interface lists it, and its answer: with the schema of its body, the units and
 * labels of its figures, and for each source which figures rest on it. Pure: no I/O, no clock.
 */
import * as z from 'zod';
import type { Calculation } from './calculation.ts';
import type { Results } from './figure.ts';
import type { Source } from './source.ts';

/** The sources of a calculation, each once, with the figures that rest on it. */
const sourcesOf = (
  one: Calculation,
): readonly (Source & { readonly figures: readonly string[] })[] => {
  const figures = Object.entries(one.answers);
  const sources = new Set(figures.flatMap(([, figure]) => figure.sources));
  return [...sources].map((source) => ({
    ...source,
    figures: figures.filter(([, figure]) => figure.sources.includes(source)).map(([name]) => name),
  }));
};

const address = (one: Calculation): string => `/v1/calculations/${one.name}`;

const summaryOf = (one: Calculation) => ({
  name: one.name,
  title: one.title,
  purpose: one.purpose,
  href: address(one),
  page: `/calculations/${one.name}`,
});

export const descriptionOf = (one: Calculation) => ({
  ...summaryOf(one),
  body: z.toJSONSchema(one.schema, { io: 'input' }),
  results: Object.fromEntries(
    Object.entries(one.answers).map(([name, figure]) => [
      name,
      {
        label: figure.label,
        kind: figure.kind,
        ...(figure.kind === 'number' ? { unit: figure.unit } : {}),
        ...(figure.kind === 'number' && figure.none !== undefined ? { none: figure.none } : {}),
        ...(figure.kind === 'verdict' ? { verdicts: Object.keys(figure.verdicts) } : {}),
        ...(figure.kind === 'table' ? { columns: figure.columns } : {}),
      },
    ]),
  ),
  sources: sourcesOf(one),
  caution: one.caution ?? null,
});

export const answerOf = (one: Calculation, results: Results) => ({
  calculation: one.name,
  results,
  sources: sourcesOf(one),
  caution: one.caution ?? null,
});
