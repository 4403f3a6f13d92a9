/** Reads a posted form as text fields; files and oversized bodies are refused. */
import type { Context } from 'hono';
import { readText, requireMediaType } from './body.ts';
import type { Typed } from './form-body.ts';
import type { HttpContext } from './http-context.ts';

/** The largest form is a few hundred bytes: chosen with room to spare. */
const formLimitBytes = 16 * 1024;

export const readForm = async (context: Context<HttpContext>): Promise<URLSearchParams> => {
  requireMediaType(context.req.raw, ['application/x-www-form-urlencoded']);
  return new URLSearchParams(await readText(context.req.raw, formLimitBytes));
};

export const pageForm = async (context: Context<HttpContext>): Promise<Typed> =>
  Object.fromEntries(await readForm(context));
