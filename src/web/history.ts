/** A vessel's history over HTTP: what a logger has kept, filled in after the event. */
import { Hono } from 'hono';
import { cellarStub } from '../storage/env.ts';
import type { JournalEntry } from '../storage/journal-entry.ts';
import { admission, only } from './admission.ts';
import { requireMediaType } from './body.ts';
import { csvMediaType } from './csv-pack.ts';
import { csvQuery, listedQuery } from './csv-query.ts';
import { Refusal } from './fault.ts';
import type { HttpContext } from './http-context.ts';
import { parse } from './parse.ts';
import { type HistoryReport, takeHistory } from './take-history.ts';

/** Keeps the units in which the readings came beside what came of them, since they are stored converted. */
const historyEntry = (report: HistoryReport, by: string, now: number): JournalEntry => ({
  at: now,
  by,
  act: 'history-filled',
  about: report.vessel,
  note: null,
  facts: {
    columns: report.columns.map(({ heading }) => heading).join(', '),
    rows: report.rows,
    stored: report.stored,
    repeated: report.repeated,
    corrected: report.corrected,
    first: report.first,
    last: report.last,
  },
});

export const history = new Hono<HttpContext>()
  .use('/:cellar/vessels/:vessel/history', admission)
  .post('/:cellar/vessels/:vessel/history', only('keeper'), async (context) => {
    const place = context.req.param();
    requireMediaType(context.req.raw, [csvMediaType]);
    const query = parse(csvQuery, listedQuery(context.req.url, ['leave-out']));
    const vessels = (await context.get('renew')()).vessels;
    if (!vessels.includes(place.vessel))
      throw new Refusal({ kind: 'not-found', what: 'vessel', name: place.vessel });
    const now = context.get('now');
    const report = await takeHistory(context.env, place, context.req.raw, query, now);
    const by = context.get('admission').grant.title;
    await cellarStub(context.env, place.cellar).enterJournal(historyEntry(report, by, now));
    return context.json(report);
  });
