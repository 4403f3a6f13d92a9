/**
 * Schemas under the names by which the interface document refers to them, and the check that a schema of an
 * answer says exactly what the type says from which the answer is made. Bodies and answers are kept apart, since
 * a body is described as it is sent and an answer as it is received. Pure: no I/O, no clock.
 */
import * as z from 'zod';

type Book = ReturnType<typeof z.registry<{ id: string }>>;

export const bodyBook: Book = z.registry<{ id: string }>();
export const answerBook: Book = z.registry<{ id: string }>();

/** Gives the schema of a body a name in the document. */
export const bodyNamed = <Schema extends z.ZodType>(id: string, schema: Schema): Schema => {
  bodyBook.add(schema, { id });
  return schema;
};

/**
 * Gives the schema of an answer a name, and does not compile unless schema and type allow the same: what the type
 * may hold the schema must accept, and the other way round.
 */
export const answerNamed =
  <Type>() =>
  <Schema extends z.ZodType<Type>>(
    id: string,
    schema: Type extends z.output<Schema> ? Schema : never,
  ): Schema => {
    answerBook.add(schema, { id });
    return schema;
  };
