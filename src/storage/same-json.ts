/** Whether two values say the same as JSON, whatever the order of their members. Pure: no I/O, no clock. */

const ordered = (_member: string, value: unknown): unknown =>
  typeof value === 'object' && value !== null && !Array.isArray(value)
    ? Object.fromEntries(Object.entries(value).sort(([one], [other]) => (one < other ? -1 : 1)))
    : value;

export const sameJson = (one: unknown, other: unknown): boolean =>
  JSON.stringify(one, ordered) === JSON.stringify(other, ordered);
