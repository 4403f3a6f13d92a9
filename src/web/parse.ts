/** Runs a schema over a value; faults name each field with the value that offended. */
import type * as z from 'zod';
import { readText, requireMediaType } from './body.ts';
import { type FieldFault, Refusal } from './fault.ts';
import { quote } from './quote.ts';

/** A description of a vessel or batch is a few hundred bytes: chosen with room to spare. */
const descriptionLimitBytes = 64 * 1024;

const valueAt = (value: unknown, path: readonly PropertyKey[]): unknown =>
  path.reduce<unknown>(
    (inner, step) =>
      typeof inner === 'object' && inner !== null && Object.hasOwn(inner, step)
        ? (inner as Record<PropertyKey, unknown>)[step]
        : undefined,
    value,
  );

/** What is wrong with each field, in words. */
export const fieldFaults = (error: z.ZodError, value: unknown): readonly FieldFault[] =>
  error.issues.map((issue) => {
    const field = issue.path.map(String).join('.') || 'body';
    if (issue.code === 'unrecognized_keys')
      return { field, detail: `has unknown members: ${issue.keys.map(quote).join(', ')}` };
    const found = valueAt(value, issue.path);
    const message = issue.message.replace(/^Invalid (input|option): /, '');
    return {
      field,
      detail: `${message} (found ${found === undefined ? 'nothing' : quote(found)})`,
    };
  });

export const parse = <Schema extends z.ZodType>(
  schema: Schema,
  value: unknown,
): z.output<Schema> => {
  const outcome = schema.safeParse(value);
  if (outcome.success) return outcome.data;
  throw new Refusal({ kind: 'fields', fields: fieldFaults(outcome.error, value) });
};

export const parseJsonText = (text: string): unknown => {
  try {
    return JSON.parse(text);
  } catch (error) {
    throw new Refusal({
      kind: 'body-not-json',
      reason: error instanceof Error ? error.message.slice(0, 120) : 'not JSON',
    });
  }
};

/** The JSON body of a request, as it was sent. */
export const readJson = async (request: Request): Promise<unknown> => {
  requireMediaType(request, ['application/json']);
  return parseJsonText(await readText(request, descriptionLimitBytes));
};

/** The JSON body of a request, checked against a schema. */
export const parseBody = async <Schema extends z.ZodType>(
  schema: Schema,
  request: Request,
): Promise<z.output<Schema>> => parse(schema, await readJson(request));
