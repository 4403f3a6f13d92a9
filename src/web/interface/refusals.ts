/** The statuses with which an operation can be refused, and what each means. Pure data. */
import type { Operation } from './operation.ts';

export const refusalWords: Readonly<Record<number, string>> = {
  400: 'The body cannot be read: the detail says where.',
  401: 'The key is missing, or opens nothing here.',
  403: 'The key may not do this.',
  404: 'There is nothing of this name.',
  409: 'It cannot be done as things are: the detail says why.',
  413: 'The body is too large.',
  415: 'The media type is not accepted.',
  422: 'The body was read, and what it says is refused: the detail names each field.',
  429: 'Too much at once: wait as long as Retry-After says.',
};

export const refusalsOf = ({ who, bodies, refusals = [] }: Operation): readonly number[] => [
  ...new Set(
    [
      ...(who === 'anyone' ? [] : [401, 429]),
      ...(typeof who === 'string' ? [] : [403]),
      ...(bodies === undefined ? [] : [400, 413, 415, 422]),
      ...refusals,
    ].sort((one, other) => one - other),
  ),
];
