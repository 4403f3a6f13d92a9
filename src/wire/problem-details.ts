/**
 * Problem details for HTTP (RFC 9457): the noun and its JSON. It is written when something has
 * already gone wrong, so writing it cannot fail: a number that JSON cannot hold becomes its name.
 * Pure: no I/O, no clock.
 */
import type { JsonValue } from './json-value.ts';

/** RFC 9457 section 3. */
export const problemMediaType = 'application/problem+json';

export type ProblemDetails = {
  /** URI reference that names the kind of problem (section 3.1.1). */
  readonly type: string;
  /** The same for every occurrence of the type (section 3.1.3). */
  readonly title: string;
  /** The status of the response that carries it (section 3.1.2). */
  readonly status: number;
  /** What went wrong this time and what to do about it (section 3.1.4). */
  readonly detail?: string;
  /** URI reference that names this occurrence (section 3.1.5). */
  readonly instance?: string;
  /**
   * Members of the type's own (section 3.2). A name should begin with a letter, have three characters
   * or more and use letters, digits and `_`; one that is named as a member above is left out.
   */
  readonly extensions?: { readonly [member: string]: JsonValue };
};

const members = ['type', 'title', 'status', 'detail', 'instance'] as const;

const finiteOrNamed = (_member: string, value: unknown): unknown =>
  typeof value === 'number' && !Number.isFinite(value) ? String(value) : value;

export const problemJson = (problem: ProblemDetails): string => {
  const own = members.flatMap((member) =>
    problem[member] === undefined ? [] : [[member, problem[member]] as const],
  );
  const reserved: readonly string[] = members;
  const extensions = Object.entries(problem.extensions ?? {}).filter(
    ([member]) => !reserved.includes(member),
  );
  return JSON.stringify(Object.fromEntries([...own, ...extensions]), finiteOrNamed);
};
