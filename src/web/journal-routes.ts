/** The journal over HTTP, as JSON in pages and as one CSV file. Keepers only. */
import { Hono } from 'hono';
import { cellarStub, type Env } from '../storage/env.ts';
import type { JournalRow } from '../storage/journal-entry.ts';
import { csvFaultInWords, csvMediaType, csvRow } from '../wire/csv-write.ts';
import { rfc3339 } from '../wire/rfc3339.ts';
import { admission, only } from './admission.ts';
import { journalQuery } from './contract.ts';
import type { HttpContext } from './http-context.ts';
import { parse } from './parse.ts';

/** Entries that the CSV takes from the cellar at once. Chosen by us: about 200 kB. */
const entriesPerCall = 1000;

const columns = ['id', 'time', 'by', 'act', 'about', 'note', 'facts'] as const;

const line = (cells: Parameters<typeof csvRow>[0]): string => {
  const row = csvRow(cells);
  if (!row.ok) throw new Error(csvFaultInWords(row.fault));
  return row.value;
};

const lineOf = ({ id, at, by, act, about, note, facts }: JournalRow): string =>
  line([id, rfc3339(at) ?? String(at), by, act, about, note, JSON.stringify(facts)]);

/** Oldest first, so that a later file begins with an earlier one. */
const csvPieces = (env: Env, cellar: string): ReadableStream<Uint8Array> => {
  const encoder = new TextEncoder();
  let after = 0;
  return new ReadableStream({
    start: (controller) => controller.enqueue(encoder.encode(line(columns))),
    pull: async (controller) => {
      const rows = await cellarStub(env, cellar).journalAfter(after, entriesPerCall);
      after = rows.at(-1)?.id ?? after;
      if (rows.length > 0) controller.enqueue(encoder.encode(rows.map(lineOf).join('')));
      if (rows.length < entriesPerCall) controller.close();
    },
  });
};

export const journalRoutes = new Hono<HttpContext>()
  .use('/:cellar/journal', admission)
  .use('/:cellar/journal.csv', admission)
  .get('/:cellar/journal', only('keeper'), async (context) => {
    const { limit, before } = parse(journalQuery, context.req.query());
    const list = cellarStub(context.env, context.req.param('cellar'));
    return context.json({ journal: await list.journal(limit, before) });
  })
  .get('/:cellar/journal.csv', only('keeper'), (context) => {
    const cellar = context.req.param('cellar');
    return context.body(csvPieces(context.env, cellar), 200, {
      'content-type': csvMediaType,
      'content-disposition': `attachment; filename="journal-${cellar}.csv"`,
      'cache-control': 'no-store',
    });
  });
