/**
 * When a vessel thins its readings, and by which rule. The rule is the cellar's: the vessel asks for it
 * before each step, so that a hold that was set a moment ago counts.
 */
import { readDocument, writeDocument } from './document-table.ts';
import { type HeldSpan, type ThinningPlace, thinningStart, thinStep } from './thin-readings.ts';

/** What the cellar says of one vessel. */
export type RetentionRule = {
  /** Days for which every reading is kept. */
  readonly keepDays: number;
  /** Batches that are not finished or under legal hold. */
  readonly held: readonly HeldSpan[];
};

const daySeconds = 86_400;

/** The document that derives the next wake-up. */
type Thinning = {
  /** Unix seconds at which to look for readings to thin. */
  readonly lookAt: number;
  /** Where a pass that is under way goes on; null between passes. */
  readonly place: ThinningPlace | null;
};

const documentName = 'thinning';

const hasBlocks = (sql: SqlStorage): boolean =>
  sql.exec('SELECT 1 FROM block LIMIT 1').toArray().length > 0;

/** Unix seconds of the next look; null while there is nothing that could be thinned. */
export const thinningDue = (sql: SqlStorage, now: number): number | null => {
  const thinning = readDocument<Thinning>(sql, documentName);
  if (thinning !== null) return thinning.lookAt;
  return hasBlocks(sql) ? now : null;
};

/** Asks for a look by a moment: after a back-fill, or when the cellar's rule has changed. */
export const lookAgain = (sql: SqlStorage, at: number): void => {
  const thinning = readDocument<Thinning>(sql, documentName);
  if (thinning !== null && thinning.lookAt <= at) return;
  const place = thinning?.place ?? null;
  writeDocument(sql, documentName, { lookAt: at, place } satisfies Thinning);
};

/** One bounded step of thinning, inside the caller's transaction. */
export const thin = (sql: SqlStorage, rule: RetentionRule, now: number): void => {
  const keepSeconds = rule.keepDays * daySeconds;
  const known = readDocument<Thinning>(sql, documentName);
  const place = thinStep(sql, known?.place ?? thinningStart, {
    before: now - keepSeconds,
    held: rule.held,
  });
  const { oldest } = sql
    .exec<{ oldest: number | null }>('SELECT min(first) AS oldest FROM block')
    .one();
  // What is held is looked at once a day, or it would keep the object awake.
  const lookAt = place === null ? Math.max(now + daySeconds, (oldest ?? now) + keepSeconds) : now;
  writeDocument(sql, documentName, { lookAt, place } satisfies Thinning);
};

/** The cellar could not be asked. */
export const postponeThinning = (sql: SqlStorage, until: number): void => {
  const known = readDocument<Thinning>(sql, documentName);
  writeDocument(sql, documentName, {
    lookAt: until,
    place: known?.place ?? null,
  } satisfies Thinning);
};
