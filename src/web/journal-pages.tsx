/** The page of the journal, for keepers. */
import { Hono } from 'hono';
import { cellarStub } from '../storage/env.ts';
import { journalQuery } from './contract.ts';
import type { HttpContext } from './http-context.ts';
import { requireRole } from './page-visit.ts';
import { journalPage } from './pages/journal.tsx';
import { parse } from './parse.ts';

/** Entries of one page. Chosen by us: some days of a busy cellar. */
const shownEntries = 100;

export const journalPages = new Hono<HttpContext>().get(
  '/cellars/:cellar/journal',
  async (context) => {
    requireRole(context, 'keeper');
    const { before } = parse(journalQuery, context.req.query());
    const list = cellarStub(context.env, context.req.param('cellar'));
    const entries = await list.journal(shownEntries, before);
    return context.html(
      journalPage({ ...context.get('visit'), entries, full: entries.length === shownEntries }),
    );
  },
);
