/**
 * One vessel: its description, its batch, its readings and the state of its watch.
 * Thin: open the rows, ask monitoring, write what it says in the same transaction, set the wake-up.
 * Every method takes `now` (Unix seconds of cellar time) from its caller.
 */
import { DurableObject } from 'cloudflare:workers';
import type { AlarmChange } from '../monitoring/alarm.ts';
import type { Batch, Stage } from '../monitoring/batch.ts';
import type { Status } from '../monitoring/status.ts';
import type { Vessel } from '../monitoring/vessel.ts';
import {
  type Act,
  type ActFault,
  act,
  beginWatch,
  curveOf,
  judge,
  nextDue,
  statusOf,
  type Verdict,
  type WatchState,
} from '../monitoring/watch.ts';
import type { Happening, Watched } from '../monitoring/watched.ts';
import { fail, ok, type Result } from '../result.ts';
import { backoffSeconds } from './backoff.ts';
import { type ChartRows, chartRows } from './chart-rows.ts';
import { cellarNow } from './clock.ts';
import { readDocument, writeDocument } from './document-table.ts';
import { cellarStub, type Env } from './env.ts';
import { log } from './log.ts';
import { hasTables, migrate } from './migrations.ts';
import type { News } from './news.ts';
import { outboxDue, pendingNews, postponeNews, putNews, removeNews } from './outbox-table.ts';
import { type StoredCounts, type StoredReading, storeReadings } from './reading-table.ts';
import { vesselMigrations } from './vessel-migrations.ts';
import { earliest, setWakeUp } from './wake-up.ts';

/** What the vessel knows of itself. */
type Identity = { readonly cellar: string; readonly vessel: Vessel };

export type VesselView = {
  readonly vessel: Vessel;
  readonly batch: Batch | null;
  readonly status: Status;
  /** Newest first. */
  readonly changes: readonly AlarmChange[];
  readonly happenings: readonly Happening[];
};

export type EndedBatch = { readonly batch: Batch; readonly finalStatus: Status };

export type BatchFault =
  | { readonly kind: 'vessel-unknown' }
  | { readonly kind: 'vessel-occupied'; readonly batch: string }
  | { readonly kind: 'batch-not-here'; readonly batch: string };

/** News that one relay call carries: chosen by us, far under the platform's 32 MiB per call. */
const newsPerRelay = 50;
/** Entries of a vessel's own history that a view shows. */
const shownHistory = 100;

export class VesselObject extends DurableObject<Env> {
  readonly #sql: SqlStorage;

  constructor(ctx: DurableObjectState, env: Env) {
    super(ctx, env);
    this.#sql = ctx.storage.sql;
    if (!hasTables(this.#sql)) return;
    migrate(ctx.storage, vesselMigrations);
    void ctx.blockConcurrencyWhile(async () => {
      await this.#setNextWakeUp(await cellarNow(env));
    });
  }

  /** Creates the vessel or replaces its description. */
  async configure(cellar: string, vessel: Vessel, now: number): Promise<void> {
    migrate(this.ctx.storage, vesselMigrations);
    this.ctx.storage.transactionSync(() => {
      writeDocument(this.#sql, 'identity', { cellar, vessel } satisfies Identity);
      this.#judgeAgain(now);
    });
    await this.#setNextWakeUp(now);
  }

  /** Stores readings and judges them in one transaction; null where the vessel was never created. */
  async record(readings: readonly StoredReading[], now: number): Promise<StoredCounts | null> {
    if (this.#identity() === null) return null;
    const counts = this.ctx.storage.transactionSync(() => {
      const outcome = storeReadings(this.#sql, readings, now);
      if (outcome.changed.length > 0) {
        const watched = this.#watched();
        this.#keep(judge(watched, this.#watchState(watched, now), outcome.changed, now), now);
      }
      return outcome.counts;
    });
    await this.#setNextWakeUp(now);
    return counts;
  }

  async startBatch(batch: Batch, now: number): Promise<Result<Batch, BatchFault>> {
    if (this.#identity() === null) return fail({ kind: 'vessel-unknown' });
    const present = this.#batch();
    if (present !== null && present.endedAt === null && present.batch !== batch.batch)
      return fail({ kind: 'vessel-occupied', batch: present.batch });
    this.#writeBatch(batch, now);
    await this.#setNextWakeUp(now);
    return ok(batch);
  }

  async changeStage(name: string, stage: Stage, now: number): Promise<Result<Batch, BatchFault>> {
    return this.#changeBatch(name, (batch) => ({ ...batch, stage }), now);
  }

  /** Ends the batch; gives back what was known of it at that moment. */
  async endBatch(name: string, now: number): Promise<Result<EndedBatch, BatchFault>> {
    if (this.#identity() === null) return fail({ kind: 'vessel-unknown' });
    const watched = this.#watched();
    const finalStatus = statusOf(watched, this.#watchState(watched, now), now);
    const ended = await this.#changeBatch(name, (batch) => ({ ...batch, endedAt: now }), now);
    return ended.ok ? ok({ batch: ended.value, finalStatus }) : ended;
  }

  /** A person acknowledges, shelves or otherwise answers an alarm. */
  async act(person: Act, now: number): Promise<Result<null, ActFault>> {
    if (this.#identity() === null) return fail({ kind: 'no-such-alarm', alarm: person.alarm });
    const outcome = this.ctx.storage.transactionSync(() => {
      const watched = this.#watched();
      const verdict = act(watched, this.#watchState(watched, now), person, now);
      if (verdict.ok) this.#keep(verdict.value, now);
      return verdict.ok ? ok(null) : verdict;
    });
    await this.#setNextWakeUp(now);
    return outcome;
  }

  /** Everything a page or a status answer needs; null where the vessel was never created. */
  async view(now: number): Promise<VesselView | null> {
    const identity = this.#identity();
    if (identity === null) return null;
    const watched = this.#watched();
    const history = this.#sql
      .exec<{ body: string }>('SELECT body FROM news ORDER BY id DESC LIMIT ?', shownHistory)
      .toArray()
      .map((row) => JSON.parse(row.body) as News['body']);
    return {
      vessel: identity.vessel,
      batch: watched.batch,
      status: statusOf(watched, this.#watchState(watched, now), now),
      changes: history.flatMap((body) => (body.kind === 'alarm' ? [body.change] : [])),
      happenings: history.flatMap((body) => (body.kind === 'happening' ? [body.happening] : [])),
    };
  }

  /** Readings as envelopes per bucket, with fitted curve and forecast, for a chart. */
  async chart(
    span: { readonly from: number | null; readonly to: number | null; readonly buckets: number },
    now: number,
  ): Promise<ChartRows | null> {
    if (this.#identity() === null) return null;
    const watched = this.#watched();
    const state = this.#watchState(watched, now);
    return chartRows(this.#sql, watched, span, now, (times) => curveOf(watched, state, times));
  }

  /** The wake-up: judges what silence alone has changed and relays the outbox to the cellar. */
  override async alarm(): Promise<void> {
    const now = await cellarNow(this.env);
    const identity = this.#identity();
    if (identity === null) return;
    try {
      const watched = this.#watched();
      const state = this.#watchState(watched, now);
      const due = nextDue(watched, state, now);
      if (due !== null && due <= now)
        this.ctx.storage.transactionSync(() => this.#keep(judge(watched, state, [], now), now));
      await this.#relay(identity.cellar, now);
    } finally {
      await this.#setNextWakeUp(now);
    }
  }

  async #relay(cellar: string, now: number): Promise<void> {
    for (;;) {
      const due = outboxDue(this.#sql);
      if (due === null || due > now) return;
      const rows = pendingNews(this.#sql, newsPerRelay);
      const last = rows.at(-1);
      if (last === undefined) return;
      try {
        await cellarStub(this.env, cellar).takeNews(
          rows.map((row) => row.news),
          now,
        );
        removeNews(this.#sql, last.id);
      } catch (error) {
        const tries = (rows[0]?.tries ?? 0) + 1;
        postponeNews(this.#sql, now + backoffSeconds(tries, Math.random()));
        log('relay-failed', { cellar, tries, reason: String(error) });
        return;
      }
    }
  }

  async #changeBatch(
    name: string,
    change: (batch: Batch) => Batch,
    now: number,
  ): Promise<Result<Batch, BatchFault>> {
    if (this.#identity() === null) return fail({ kind: 'vessel-unknown' });
    const present = this.#batch();
    if (present === null || present.batch !== name || present.endedAt !== null)
      return fail({ kind: 'batch-not-here', batch: name });
    const changed = change(present);
    this.#writeBatch(changed, now);
    await this.#setNextWakeUp(now);
    return ok(changed);
  }

  #writeBatch(batch: Batch, now: number): void {
    this.ctx.storage.transactionSync(() => {
      writeDocument(this.#sql, 'batch', batch);
      this.#judgeAgain(now);
    });
  }

  /** The description changed: lets the watch adapt to it. */
  #judgeAgain(now: number): void {
    const watched = this.#watched();
    this.#keep(judge(watched, this.#watchState(watched, now), [], now), now);
  }

  /** Writes a verdict: state, history and outbox, inside the caller's transaction. */
  #keep(verdict: Verdict, now: number): void {
    const identity = this.#identity();
    if (identity === null) return;
    writeDocument(this.#sql, 'watch', verdict.state);
    const batch = this.#batch();
    const bodies: readonly News['body'][] = [
      ...verdict.changes.map((change) => ({ kind: 'alarm', change }) as const),
      ...verdict.happenings.map((happening) => ({ kind: 'happening', happening }) as const),
    ];
    for (const body of bodies) {
      this.#sql.exec('INSERT INTO news (at, body) VALUES (?, ?)', now, JSON.stringify(body));
      const news: News = {
        id: `news_${crypto.randomUUID()}`,
        cellar: identity.cellar,
        vessel: identity.vessel.vessel,
        vesselTitle: identity.vessel.title,
        batch: batch?.batch ?? null,
        batchTitle: batch?.title ?? null,
        body,
      };
      putNews(this.#sql, news, now);
    }
  }

  #identity(): Identity | null {
    return hasTables(this.#sql) ? readDocument<Identity>(this.#sql, 'identity') : null;
  }

  #batch(): Batch | null {
    return readDocument<Batch>(this.#sql, 'batch');
  }

  #watched(): Watched {
    const identity = this.#identity();
    if (identity === null) throw new Error('the vessel has no description');
    const batch = this.#batch();
    return { vessel: identity.vessel, batch: batch?.endedAt === null ? batch : null };
  }

  #watchState(watched: Watched, now: number): WatchState {
    return readDocument<WatchState>(this.#sql, 'watch') ?? beginWatch(watched, now);
  }

  async #setNextWakeUp(now: number): Promise<void> {
    const watched = this.#watched();
    const due = earliest([
      nextDue(watched, this.#watchState(watched, now), now),
      outboxDue(this.#sql),
    ]);
    await setWakeUp(this.ctx.storage, this.env, due);
  }
}
