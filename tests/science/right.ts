/** Takes the value out of a result that must be right; a fault fails the test with its own words. */

import type { Result } from '../../src/result.ts';
import { describeFault, type ScienceFault } from '../../src/science/fault.ts';

export const right = <Value>(result: Result<Value, ScienceFault>): Value => {
  if (!result.ok) throw new Error(describeFault(result.fault));
  return result.value;
};
