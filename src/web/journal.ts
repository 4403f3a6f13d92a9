/**
 * Writes every act of a person into the journal of the cellar, once it is done and before it is
 * answered, so that what was answered is written down. If it cannot be, the answer is 503: asked again, it is. Which
 * requests are acts is one table, by the address; a handler may add what the address does not say.
 */
import type { Context, Next } from 'hono';
import { cellarStub, type Env } from '../storage/env.ts';
import type { JournalEntry } from '../storage/journal-entry.ts';
import type { HttpContext } from './http-context.ts';

type Facts = JournalEntry['facts'];

export type Noted = {
  readonly about?: string;
  readonly note?: string | null | undefined;
  readonly facts?: Facts;
};

type ActPattern = {
  readonly act: JournalEntry['act'];
  readonly methods: readonly string[];
  /** Behind the cellar's part of the address; what it catches is what the act is about. */
  readonly path: RegExp;
  /** What of the cellar's lists it changes, to be compared before and after. */
  readonly changes?: 'vessel' | 'batch';
};

const post = ['POST'] as const;
const part = '([^/]+)';

const of = (
  act: JournalEntry['act'],
  path: string,
  more: Partial<Pick<ActPattern, 'methods' | 'changes'>> = {},
): ActPattern => ({ act, methods: post, path: new RegExp(`^${path}$`), ...more });

const alarmAct = (act: JournalEntry['act'], name: string): ActPattern =>
  of(act, `/vessels/${part}/alarms/${part}/${name}`);

/**
 * What is done to receivers and to the records is entered where it is done. An address that changes something and is
 * neither here nor there fails `tests/web/journal.test.ts`.
 */
const acts: readonly ActPattern[] = [
  of('vessel-made', '/vessels'),
  of('vessel-described', `/vessels/${part}`, { methods: ['PUT'], changes: 'vessel' }),
  of('batch-started', '/batches'),
  of('stage-changed', `/batches/${part}/stage`, { changes: 'batch' }),
  of('limits-set', `/batches/${part}/limits`, { changes: 'batch' }),
  of('deed-recorded', `/batches/${part}/deeds`, { changes: 'batch' }),
  of('batch-ended', `/batches/${part}/end`, { changes: 'batch' }),
  of('sample-taken', `/vessels/${part}/samples`),
  alarmAct('alarm-acknowledged', 'acknowledge'),
  alarmAct('alarm-reset', 'reset'),
  alarmAct('alarm-shelved', 'shelve'),
  alarmAct('alarm-unshelved', 'unshelve'),
  alarmAct('alarm-removed-from-service', 'remove-from-service'),
  alarmAct('alarm-returned-to-service', 'return-to-service'),
  of('key-made', '/(?:keys|keeper-keys)'),
  of('key-revoked', `/keys/${part}`, { methods: ['DELETE'] }),
  of('key-revoked', `/keys/${part}/revoke`),
];

type Found = { readonly pattern: ActPattern; readonly about: readonly string[] };

export const actAt = (method: string, path: string): Found | null => {
  if (method === 'GET' || method === 'HEAD' || path.endsWith('/readings')) return null;
  const behind = path.replace(/^(?:\/v1)?\/cellars\/[^/]+/, '');
  for (const pattern of acts) {
    const found = pattern.methods.includes(method) ? pattern.path.exec(behind) : null;
    if (found !== null) return { pattern, about: found.slice(1).map(decoded) };
  }
  return null;
};

const decoded = (text: string): string => {
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
};

type Members = Readonly<Record<string, unknown>>;

const listed = async (
  env: Env,
  cellar: string,
  { pattern: { changes }, about: [name = ''] }: Found,
): Promise<Members | null> => {
  if (changes === undefined) return null;
  const list = cellarStub(env, cellar);
  return changes === 'batch'
    ? ((await list.batch(name))?.batch ?? null)
    : ((await list.vessels()).find(({ vessel }) => vessel === name) ?? null);
};

/** Chosen by us: enough for what a form holds. */
const longestFact = 500;

const short = (value: unknown): string => {
  const text = JSON.stringify(value) ?? '';
  return text.length > longestFact ? `${text.slice(0, longestFact)}…` : text;
};

/** The members that differ, as they were and as they are. */
const difference = (before: Members | null, after: Members | null): Facts => {
  if (before === null || after === null) return {};
  const names = [...new Set([...Object.keys(before), ...Object.keys(after)])].filter(
    (name) => JSON.stringify(before[name]) !== JSON.stringify(after[name]),
  );
  const picked = (from: Members) => Object.fromEntries(names.map((name) => [name, from[name]]));
  return names.length === 0 ? {} : { before: short(picked(before)), after: short(picked(after)) };
};

/** Adds to the entry of the journal for the request that is being handled. */
export const noteAct = (context: Context<HttpContext>, noted: Noted): void =>
  context.set('noted', noted);

/** What somebody described, in short. */
export const described = (value: unknown): Facts => ({ after: short(value) });

/** Where a key is not what lets a person in. */
const host = 'operator secret';

/** Runs what is asked for and enters it. The doors call it, once they have let somebody in. */
export const journal = async (context: Context<HttpContext>, next: Next): Promise<void> => {
  const found = context.get('entered') ? null : actAt(context.req.method, context.req.path);
  context.set('entered', true);
  if (found === null) return next();
  const cellar = context.req.param('cellar') ?? '';
  const before = await listed(context.env, cellar, found);
  await next();
  if (context.res.status >= 400) return;
  const noted = context.get('noted') ?? {};
  const after = before === null ? null : await listed(context.env, cellar, found);
  await cellarStub(context.env, cellar).enterJournal({
    at: context.get('now'),
    by: context.get('admission')?.grant.title ?? host,
    act: found.pattern.act,
    about: noted.about ?? found.about.join('/'),
    note: noted.note ?? null,
    facts: { ...noted.facts, ...difference(before, after) },
  });
};
