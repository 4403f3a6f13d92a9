/**
 * One operation of the JSON interface as data: who may, what is sent, what comes back, with an example that the
 * tests run. The interface document, the page of the interface and the access tests all come from these.
 * Pure data.
 */
import type * as z from 'zod';
import type { Role } from '../../storage/access.ts';

type Method = 'get' | 'post' | 'put' | 'delete';

/** `host`: whoever runs the server and holds OPERATOR_SECRET; a list: keys of these roles. */
export type Who = 'anyone' | 'host' | readonly Role[];

export type Body = {
  /** Null where the media type has a grammar of its own, as CSV has. */
  readonly schema: z.ZodType | null;
  /** JSON as a value, text as a string, anything else as bytes. */
  readonly example: unknown;
  /** What the address must say beside it, where it must say something. */
  readonly query?: Readonly<Record<string, string>>;
};

export type Answer = {
  readonly status: 200 | 201 | 204;
  readonly words: string;
  /** By media type, as it is sent; null where it has a grammar of its own. Empty where there is no body. */
  readonly media: Readonly<Record<string, z.ZodType | null>>;
};

type Group =
  | 'Cellar and keys'
  | 'Vessels'
  | 'Batches'
  | 'Readings'
  | 'Records'
  | 'Alarms'
  | 'Receivers of news'
  | 'Calculations'
  | 'The server';

export type Operation = {
  /** Unique, in words joined by hyphens. */
  readonly id: string;
  readonly group: Group;
  readonly method: Method;
  /** With its parameters in braces; each stands in parameters.ts. */
  readonly path: string;
  /** The pattern of the router that answers, where it answers several paths of this list. */
  readonly route?: string;
  readonly title: string;
  readonly words?: string;
  readonly who: Who;
  readonly query?: z.ZodObject;
  /** By media type, the usual one first. */
  readonly bodies?: Readonly<Record<string, Body>>;
  readonly answer: Answer;
  /** Statuses of refusals beyond those that every such operation has. */
  readonly refusals?: readonly number[];
};

const json = 'application/json';

/** A JSON body. */
export const sends = (schema: z.ZodType, example: unknown): NonNullable<Operation['bodies']> => ({
  [json]: { schema, example },
});

/** A JSON answer. */
export const answers = (status: 200 | 201, words: string, schema: z.ZodType): Answer => ({
  status,
  words,
  media: { [json]: schema },
});

export const nothing = (words: string): Answer => ({ status: 204, words, media: {} });

export const readers: Who = ['viewer', 'operator', 'keeper'];
export const workers: Who = ['operator', 'keeper'];
export const keepers: Who = ['keeper'];
