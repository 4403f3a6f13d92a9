/** The median, which one wild reading cannot move. Pure. */
import { median as medianOfSome } from 'simple-statistics';

/** Zero for an empty list: callers ask only where there is something. */
export const median = (values: readonly number[]): number =>
  values.length === 0 ? 0 : medianOfSome([...values]);
