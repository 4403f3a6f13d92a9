/** Backtests one history file and writes its report. Reads and writes files; the time is the caller's. */
import { writeFileSync } from 'node:fs';
import { basename, extname } from 'node:path';
import { fail, ok, type Result } from '../../result.ts';
import { type BatchValues, describedBatch } from './batch-options.ts';
import { foretoldOf } from './foretold.ts';
import { historyOf, historyText } from './history.ts';
import type { Outcome } from './outcome.ts';
import { reportPage } from './report/page.ts';
import { reportSheet } from './report/sheet.ts';
import { toldOf } from './told.ts';

/** Faults are words to print, each on its own line. */
export const outcomeOf = (
  file: string,
  text: string,
  values: BatchValues,
  leaveOut: readonly string[],
  now: number,
): Result<Outcome, readonly string[]> => {
  const name = basename(file);
  const batch = describedBatch(values, basename(name, extname(name)));
  if (!batch.ok) return fail([batch.fault]);
  const history = historyOf(text, batch.value, leaveOut, now);
  if (!history.ok) return fail(history.fault.map((fault) => `${name}: ${fault}`));
  const told = toldOf(history.value.record);
  const foretold = foretoldOf(history.value.record, told, batch.value.finalGravity);
  return ok({ file: name, batch: batch.value, history: history.value, told, foretold });
};

/** The text of a file, or why it cannot be read. */
export const readHistory = (file: string): Result<string, readonly string[]> => {
  try {
    return ok(historyText(file));
  } catch (error) {
    return fail([
      `--batch ${file} cannot be read: ${error instanceof Error ? error.message : error}`,
    ]);
  }
};

export const writeReport = async (outcome: Outcome, file: string): Promise<void> => {
  writeFileSync(file, String(await reportPage(outcome, await reportSheet())));
};
