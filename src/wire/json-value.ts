/** A value that JSON can hold, and where one fails to be that. Pure: no I/O, no clock. */
export type JsonValue =
  | string
  | number
  | boolean
  | null
  | readonly JsonValue[]
  | { readonly [member: string]: JsonValue };

/**
 * Levels of nesting that are followed. Chosen by Gyleward, whose own documents have six; a cycle
 * ends here too.
 */
const deepest = 64;

const below = (pointer: string, member: string | number): string =>
  `${pointer}/${String(member).replaceAll('~', '~0').replaceAll('/', '~1')}`;

/**
 * JSON pointer (RFC 6901) of the first place that JSON.stringify would drop or turn into null
 * unasked: NaN, an infinity, undefined, a function, nesting beyond 64 levels. Null where there is
 * none.
 */
export const firstNotJson = (value: unknown, pointer = '', depth = 0): string | null => {
  if (value === null || typeof value === 'string' || typeof value === 'boolean') return null;
  if (typeof value === 'number') return Number.isFinite(value) ? null : pointer;
  if (typeof value !== 'object' || depth === deepest) return pointer;
  for (const [member, inner] of Object.entries(value)) {
    const place = firstNotJson(inner, below(pointer, member), depth + 1);
    if (place !== null) return place;
  }
  return null;
};
