/** All that a report and its summary tell of one backtested history. Pure data. */
import type { DescribedBatch } from './described-batch.ts';
import type { Foretold } from './foretold.ts';
import type { History } from './history.ts';
import type { Told } from './told.ts';

export type Outcome = {
  /** Name of the file, without its folder. */
  readonly file: string;
  readonly batch: DescribedBatch;
  readonly history: History;
  readonly told: Told;
  /** Or the reason why there is nothing to look back on. */
  readonly foretold: Foretold | string;
};
