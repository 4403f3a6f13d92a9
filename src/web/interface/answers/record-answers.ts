/** What is answered of the records themselves: how long they are kept, and who decided what. Pure data. */
import * as z from 'zod';
import { type JournalRow, journalActs } from '../../../storage/journal-entry.ts';
import type { ArchiveReport } from '../../archive/take-archive.ts';
import { answerNamed } from '../schema-book.ts';

export const keptDays = answerNamed<{ readonly keepDays: number }>()(
  'KeptDays',
  z.strictObject({ keepDays: z.number() }),
);

export const legalHold = answerNamed<{ readonly batch: string; readonly held: boolean }>()(
  'LegalHold',
  z.strictObject({ batch: z.string(), held: z.boolean() }),
);

const journalEntry = answerNamed<JournalRow>()(
  'JournalEntry',
  z.strictObject({
    id: z.number(),
    at: z.number(),
    by: z.string(),
    act: z.enum(journalActs),
    about: z.string(),
    note: z.string().nullable(),
    facts: z.record(z.string(), z.union([z.string(), z.number(), z.null()])).readonly(),
  }),
);

export const journal = answerNamed<{ readonly journal: readonly JournalRow[] }>()(
  'Journal',
  z.strictObject({ journal: z.array(journalEntry).readonly() }),
);

export const archiveReport = answerNamed<ArchiveReport>()(
  'ArchiveReport',
  z.strictObject({
    lines: z.number(),
    vessels: z.number(),
    batches: z.number(),
    news: z.number(),
    stored: z.number(),
    repeated: z.number(),
    hours: z.number(),
    corrections: z.number(),
  }),
);
