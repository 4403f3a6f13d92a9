/** The body that a calculation's own examples make. Pure: no I/O, no clock. */
import type { Calculation } from './calculation.ts';

export const exampleBody = ({
  inputs,
}: Pick<Calculation, 'inputs'>): Readonly<Record<string, unknown>> =>
  Object.fromEntries(
    Object.entries(inputs).flatMap(([name, field]) =>
      field.example === undefined || field.example === null ? [] : [[name, field.example]],
    ),
  );
