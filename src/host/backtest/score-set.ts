/**
 * Backtests a labelled set of records and scores the answers; or makes such a set first, from simulated cases. Cases
 * held back for reporting come from seeds of their own, a million above those that may be tuned on.
 */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fail, ok, type Result } from '../../result.ts';
import { writeFermentations } from '../simulated/write-fermentations.ts';
import { writeVessels } from '../simulated/write-vessels.ts';
import { answerOf } from './answer.ts';
import { readRecords } from './folder-records.ts';
import { answersIn } from './score/answers.ts';
import { readLabels } from './score/labels.ts';
import { type Score, scoreOf } from './score/score.ts';

export type ScoredSet = { readonly score: Score; readonly answers: string };

/** Told now and then how many of how many records are done. */
export type Progress = (done: number, of: number) => void;

export const scoredFolder = (folder: string, progress: Progress): Result<ScoredSet, string> => {
  const labels = readLabels(folder);
  if (!labels.ok) return labels;
  const records = readRecords(folder);
  if (records.length === 0) {
    return fail(`${folder} holds neither batches.csv nor kegs.csv; name a folder that does`);
  }
  const lines = records.map((record, index) => {
    progress(index, records.length);
    return JSON.stringify(answerOf(record));
  });
  const answers = `${lines.join('\n')}\n`;
  return ok({ score: scoreOf(labels.value, answersIn(answers)), answers });
};

export type GeneratedSet = {
  /** Fermentations; vessels come three to eight of them, as in the set the goals were made for. */
  readonly count: number;
  readonly seed: number;
  readonly heldBack: boolean;
  /** Where the set and its answers are kept; null for nowhere. */
  readonly keepIn: string | null;
};

const heldBackFrom = 1_000_000;
const vesselsPerFermentation = 90 / 240;

export const scoredGenerated = (
  { count, seed, heldBack, keepIn }: GeneratedSet,
  progress: Progress,
): Result<ScoredSet, string> => {
  const folder = keepIn ?? mkdtempSync(join(tmpdir(), 'gyleward-cases-'));
  try {
    const own = heldBack ? heldBackFrom + seed : seed;
    writeFermentations(folder, count, own);
    writeVessels(folder, Math.round(count * vesselsPerFermentation), own);
    const scored = scoredFolder(folder, progress);
    if (scored.ok && keepIn !== null) {
      writeFileSync(join(keepIn, 'answers.jsonl'), scored.value.answers);
    }
    return scored;
  } finally {
    if (keepIn === null) rmSync(folder, { recursive: true });
  }
};
