/** The batches of a cellar as its list has them: where each is or was, and what it came to. */
import type { Batch } from '../monitoring/batch.ts';
import type { Status } from '../monitoring/status.ts';

export type ListedBatch = {
  readonly batch: Batch;
  readonly vessel: string;
  /** What was known when the batch ended; null while it runs. */
  readonly finalStatus: Status | null;
  /** True while the batch must keep all its readings, whatever their age. */
  readonly legalHold: boolean;
};

type BatchRow = { vessel: string; body: string; final_status: string | null; legal_hold: number };

const batchColumns = 'vessel, body, final_status, legal_hold';

const listedBatchOf = (row: BatchRow): ListedBatch => ({
  batch: JSON.parse(row.body) as Batch,
  vessel: row.vessel,
  finalStatus: row.final_status === null ? null : (JSON.parse(row.final_status) as Status),
  legalHold: row.legal_hold !== 0,
});

/** Null where no batch has the name. */
export const listedBatch = (sql: SqlStorage, name: string): ListedBatch | null => {
  const row = sql
    .exec<BatchRow>(`SELECT ${batchColumns} FROM batch WHERE batch = ?`, name)
    .toArray()[0];
  return row === undefined ? null : listedBatchOf(row);
};

/** Newest first. */
export const listedBatches = (sql: SqlStorage): readonly ListedBatch[] =>
  sql
    .exec<BatchRow>(`SELECT ${batchColumns} FROM batch`)
    .toArray()
    .map(listedBatchOf)
    .sort((one, other) => other.batch.startedAt - one.batch.startedAt);

/** Writes the batch into the list, or anew where it is there; a legal hold stays. */
export const writeBatch = (
  sql: SqlStorage,
  batch: Batch,
  vessel: string,
  finalStatus: Status | null,
): void => {
  sql.exec(
    `INSERT INTO batch (batch, vessel, body, final_status) VALUES (?1, ?2, ?3, ?4)
       ON CONFLICT (batch) DO UPDATE SET vessel = ?2, body = ?3, final_status = ?4`,
    batch.batch,
    vessel,
    JSON.stringify(batch),
    finalStatus === null ? null : JSON.stringify(finalStatus),
  );
};

export const removeBatch = (sql: SqlStorage, name: string): void => {
  sql.exec('DELETE FROM batch WHERE batch = ?', name);
};

export const holdBatch = (sql: SqlStorage, name: string, held: boolean): void => {
  sql.exec('UPDATE batch SET legal_hold = ? WHERE batch = ?', held ? 1 : 0, name);
};
