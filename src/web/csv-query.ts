/** What an address may say of a CSV body: the zone of times without one, and columns to leave out. */
import * as z from 'zod';
import { zoneOffset } from '../wire/csv-read-time.ts';

export const csvQuery = z.strictObject({
  /** In an address a plus is a blank, unless it is written %2B: both are taken. */
  zone: z
    .string()
    .transform((text, context) => {
      const offset = zoneOffset(text.replace(/^ /, '+'));
      if (offset !== null) return offset;
      context.addIssue({ code: 'custom', message: 'must be Z or an offset such as +01:00' });
      return z.NEVER;
    })
    .optional(),
  'leave-out': z
    .array(z.string().max(200, 'must have at most 200 characters'))
    .max(100)
    .default([]),
});

/** The query of an address with the names that may come again as lists, for a schema to look at. */
export const listedQuery = (url: string, lists: readonly string[]): Record<string, unknown> => {
  const { searchParams } = new URL(url);
  return Object.fromEntries(
    [...new Set(searchParams.keys())].map((name) => {
      const all = searchParams.getAll(name);
      return [name, lists.includes(name) || all.length > 1 ? all : all[0]];
    }),
  );
};
