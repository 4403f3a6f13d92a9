/** Batches with what was known of each: they hold a status, which holds alarms of a vessel. Pure data. */
import * as z from 'zod';
import type { Batch } from '../../../monitoring/batch.ts';
import type { Status } from '../../../monitoring/status.ts';
import type { ListedBatch } from '../../../storage/batch-list-table.ts';
import { answerNamed } from '../schema-book.ts';
import { batch } from './batch-answers.ts';
import { status } from './vessel-answers.ts';

const listedBatch = answerNamed<ListedBatch>()(
  'ListedBatch',
  z.strictObject({
    batch,
    vessel: z.string(),
    finalStatus: status.nullable(),
    legalHold: z.boolean(),
  }),
);

export const batchList = answerNamed<{ readonly batches: readonly ListedBatch[] }>()(
  'BatchList',
  z.strictObject({ batches: z.array(listedBatch).readonly() }),
);

export const batchView = answerNamed<{
  readonly batch: Batch;
  readonly vessel: string;
  readonly status: Status | null;
}>()('BatchView', z.strictObject({ batch, vessel: z.string(), status: status.nullable() }));
