/** Bodies made from the examples that each calculation carries, with one member changed. */
import type { Calculation } from '../../src/web/calculations/calculation.ts';

type Body = Readonly<Record<string, unknown>>;

export type NumberPath = {
  /** As faults name it: `headspaceLitre`, `components.0.litre`. */
  readonly path: string;
  readonly need: 'given' | 'if-known' | 'preset';
};

/** Every number of the body; of a list, those of its first member that the example fills in. */
export const numberPaths = ({ inputs }: Calculation): readonly NumberPath[] =>
  Object.entries(inputs).flatMap(([name, field]) => {
    if (field.kind === 'number') return [{ path: name, need: field.need }];
    if (field.kind !== 'rows') return [];
    return Object.entries(field.fields).flatMap(([own, cell]) =>
      cell.kind === 'number' && field.example[0]?.[own] !== undefined
        ? [{ path: `${name}.0.${own}`, need: cell.need }]
        : [],
    );
  });

/** The body with one of its members set, or taken away where the value is undefined. */
export const withValue = (body: Body, path: string, value: unknown): Body => {
  const [name = '', member, own = ''] = path.split('.');
  if (member === undefined) return { ...body, [name]: value };
  const rows = body[name] as readonly Body[];
  return {
    ...body,
    [name]: rows.map((row, index) => (index === Number(member) ? { ...row, [own]: value } : row)),
  };
};
