/**
 * One vessel: its description, its batch, its readings and the state of its watch.
 * Thin: open the rows, ask monitoring, write what it says in the same transaction, set the wake-up.
 * Every method takes `now` (Unix seconds of cellar time) from its caller. Longer than 250 lines, since
 * the platform wants all methods of an object in one class; each only calls what a file of its own does.
 */
import { DurableObject } from 'cloudflare:workers';
import type { Alarm, AlarmChange } from '../monitoring/alarms/alarm.ts';
import type { Batch, Stage } from '../monitoring/batch.ts';
import { type HandSample, mostSamples } from '../monitoring/hand-sample.ts';
import { type Deed, movedOn, withDeed } from '../monitoring/stages/deed.ts';
import type { OwnLimits } from '../monitoring/stages/limits.ts';
import type { Status } from '../monitoring/status.ts';
import type { Vessel } from '../monitoring/vessel.ts';
import {
  type Act,
  type ActFault,
  act,
  curveOf,
  judge,
  nextDue,
  statusOf,
  withAlarms,
} from '../monitoring/watch.ts';
import type { Happening } from '../monitoring/watched.ts';
import { fail, ok, type Result } from '../result.ts';
import type { Channel } from '../science/units/channel.ts';
import { type Absence, absenceOf, isLate } from './absence.ts';
import { type ArchivedBody, takeBodiesOver } from './archived-news.ts';
import { type ChartRows, chartRows } from './chart-rows.ts';
import { cellarNow, leapsAreMeant } from './clock.ts';
import { removeDocument, writeDocument } from './document-table.ts';
import { cellarStub, type Env } from './env.ts';
import { exportPage, firstPlace } from './export-readings.ts';
import { type ImportCounts, importPage } from './import-page.ts';
import { judgedReadings } from './judged-readings.ts';
import { keepVerdict, recentNews } from './keep-verdict.ts';
import { log } from './log.ts';
import { hasTables, migrate } from './migrations.ts';
import { oldestNewsAt, outboxDue } from './outbox-table.ts';
import { type Buckets, budgetFrom, spend } from './reading-budget.ts';
import { cursorOf, placeOf, type ReadingPage } from './reading-page.ts';
import { channelsRead, type RowPage, rowPage } from './reading-rows.ts';
import { type StoredReading, storeReadings } from './reading-table.ts';
import { askForRecall, askForRecallNow, recallDue, recallStep } from './recall-history.ts';
import { relayNews } from './relay-news.ts';
import { lookAgain, postponeThinning, thin, thinningDue } from './retention.ts';
import { lastReceipt } from './tail-table.ts';
import type { StoredCounts } from './tally.ts';
import { vesselMigrations } from './vessel-migrations.ts';
import { type Identity, readVessel, type VesselRows } from './vessel-rows.ts';
import { earliest, setWakeUp } from './wake-up.ts';

export type VesselView = {
  readonly vessel: Vessel;
  readonly batch: Batch | null;
  readonly status: Status;
  /** Newest first. */
  readonly changes: readonly AlarmChange[];
  readonly happenings: readonly Happening[];
  /** When Gyleward itself was last away and could hear nobody; null if it never was. */
  readonly absence: Absence | null;
};

/** A key has sent more than its budget; nothing of the pack was stored in this vessel. */
export type OverBudget = { readonly kind: 'over-budget'; readonly retryAfterSeconds: number };

/** What came of readings that were sent; together as many as there were. */
export type ReceivedCounts = StoredCounts & {
  /** Readings of hours of which only least, mean and greatest value are kept; not stored. Absent for none. */
  readonly thinned?: number;
};

/** How a vessel's object does; what is counted is counted in memory, from `since` on (Unix seconds, wall clock). */
export type VesselTallies = {
  readonly since: number;
  readonly readingsStored: number;
  readonly wakeUps: number;
  readonly lateWakeUps: number;
  readonly oldestOutboxSeconds: number;
};

export type ExportedPage = {
  readonly page: ReadingPage;
  /** Give it back for the next page; null at the end. */
  readonly next: string | null;
};

export type EndedBatch = { readonly batch: Batch; readonly finalStatus: Status };

export type BatchFault =
  | { readonly kind: 'vessel-unknown' }
  | { readonly kind: 'vessel-occupied'; readonly batch: string }
  | { readonly kind: 'batch-not-here'; readonly batch: string }
  | { readonly kind: 'vessel-empty' }
  | { readonly kind: 'sample-before-batch'; readonly batch: string; readonly startedAt: number }
  | { readonly kind: 'samples-full'; readonly batch: string; readonly most: number };

/** Entries of a vessel's own history that a view shows. */
const shownHistory = 100;

/** Readings past their time wait this long for a cellar that cannot be asked. Chosen by us. */
const askAgainSeconds = 3600;

/** Chosen by us: a year of a batch is recalled within half a minute. */
const recalledBySeconds = 120;

/** A back-fill is thinned a day later, so that there is time to put its batches under a hold. */
const thinAfterImportSeconds = 86_400;

export class VesselObject extends DurableObject<Env> {
  readonly #sql: SqlStorage;
  readonly #buckets: Buckets = new Map();
  /** In memory: a row for each pack would cost more than the figure is worth. */
  readonly #counts = { since: Date.now() / 1000, readingsStored: 0, wakeUps: 0, lateWakeUps: 0 };

  constructor(ctx: DurableObjectState, env: Env) {
    super(ctx, env);
    this.#sql = ctx.storage.sql;
    if (!hasTables(this.#sql)) return;
    migrate(ctx.storage, vesselMigrations);
    void ctx.blockConcurrencyWhile(async () => {
      const now = await cellarNow(env);
      await this.#setNextWakeUp(now, this.#rowsAwake(now));
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

  /**
   * Stores readings and judges them in one transaction; null where the vessel was never created.
   * With a key the readings count against its budget.
   */
  async record(
    readings: readonly StoredReading[],
    now: number,
    key: string | null = null,
  ): Promise<ReceivedCounts | OverBudget | null> {
    const rows = this.#rowsAwake(now);
    if (rows === null) return null;
    const budget = budgetFrom(this.env.READINGS_PER_MINUTE);
    const wait = key === null ? null : spend(this.#buckets, key, readings.length, now, budget);
    if (wait !== null) return { kind: 'over-budget', retryAfterSeconds: wait };
    const { counts, after } = this.ctx.storage.transactionSync(() => {
      const outcome = storeReadings(this.#sql, readings, now);
      const { thinned } = outcome;
      const counts: ReceivedCounts =
        thinned === 0 ? outcome.counts : { ...outcome.counts, thinned };
      const points = judgedReadings(outcome.changed, rows.watched.batch);
      if (points.length === 0) return { counts, after: rows };
      const verdict = judge(rows.watched, rows.state, points, now);
      return { counts, after: keepVerdict(this.#sql, rows, verdict, now) };
    });
    this.#counts.readingsStored += counts.stored;
    await this.#setNextWakeUp(now, after);
    return counts;
  }

  async startBatch(batch: Batch, now: number): Promise<Result<Batch, BatchFault>> {
    const rows = readVessel(this.#sql, now);
    if (rows === null) return fail({ kind: 'vessel-unknown' });
    const present = rows.watched.batch;
    if (present !== null && present.batch !== batch.batch)
      return fail({ kind: 'vessel-occupied', batch: present.batch });
    await this.#writeBatch(batch, now);
    return ok(batch);
  }

  async changeStage(name: string, stage: Stage, now: number): Promise<Result<Batch, BatchFault>> {
    return this.#changeBatch(name, (batch) => movedOn(batch, stage, now), now);
  }

  async setLimits(
    name: string,
    limits: OwnLimits,
    now: number,
  ): Promise<Result<Batch, BatchFault>> {
    return this.#changeBatch(name, (batch) => ({ ...batch, limits }), now);
  }

  async recordDeed(name: string, deed: Deed, now: number): Promise<Result<Batch, BatchFault>> {
    return this.#changeBatch(name, (batch) => withDeed(batch, deed), now);
  }

  /** Keeps a sample taken by hand with the batch, in order of time; one of the same moment is replaced. */
  async addSample(sample: HandSample, now: number): Promise<Result<Batch, BatchFault>> {
    const rows = readVessel(this.#sql, now);
    if (rows === null) return fail({ kind: 'vessel-unknown' });
    const batch = rows.watched.batch;
    if (batch === null) return fail({ kind: 'vessel-empty' });
    if (sample.time < batch.startedAt)
      return fail({ kind: 'sample-before-batch', batch: batch.batch, startedAt: batch.startedAt });
    const others = (batch.samples ?? []).filter(({ time }) => time !== sample.time);
    if (others.length >= mostSamples)
      return fail({ kind: 'samples-full', batch: batch.batch, most: mostSamples });
    const samples = [...others, sample].sort((one, other) => one.time - other.time);
    return this.#changeBatch(batch.batch, (present) => ({ ...present, samples }), now);
  }

  /** Ends the batch; gives back what was known of it at that moment. */
  async endBatch(name: string, now: number): Promise<Result<EndedBatch, BatchFault>> {
    const rows = readVessel(this.#sql, now);
    if (rows === null) return fail({ kind: 'vessel-unknown' });
    const finalStatus = statusOf(rows.watched, rows.state, now);
    const ended = await this.#changeBatch(name, (batch) => ({ ...batch, endedAt: now }), now);
    return ended.ok ? ok({ batch: ended.value, finalStatus }) : ended;
  }

  /** A person acknowledges, shelves or otherwise answers an alarm. */
  async act(person: Act, now: number): Promise<Result<null, ActFault>> {
    const rows = readVessel(this.#sql, now);
    if (rows === null) return fail({ kind: 'no-such-alarm', alarm: person.alarm });
    const verdict = act(rows.watched, rows.state, person, now);
    if (!verdict.ok) return verdict;
    this.ctx.storage.transactionSync(() => keepVerdict(this.#sql, rows, verdict.value, now));
    await this.#setNextWakeUp(now);
    return ok(null);
  }

  /** How this object itself does; writes nothing. */
  async tallies(): Promise<VesselTallies> {
    const oldest = hasTables(this.#sql) ? oldestNewsAt(this.#sql) : null;
    const oldestOutboxSeconds = oldest === null ? 0 : Math.max(0, Date.now() / 1000 - oldest);
    return { ...this.#counts, oldestOutboxSeconds };
  }

  /** Everything a page or a status answer needs; null where the vessel was never created. */
  async view(now: number): Promise<VesselView | null> {
    const rows = readVessel(this.#sql, now);
    if (rows === null) return null;
    const history = recentNews(this.#sql, shownHistory);
    return {
      vessel: rows.identity.vessel,
      batch: rows.watched.batch,
      status: statusOf(rows.watched, rows.state, now),
      changes: history.flatMap((body) => (body.kind === 'alarm' ? [body.change] : [])),
      happenings: history.flatMap((body) => (body.kind === 'happening' ? [body.happening] : [])),
      absence: rows.absence,
    };
  }

  /** Readings as envelopes per bucket, with fitted curve and forecast, for a chart. */
  async chart(
    span: { readonly from: number | null; readonly to: number | null; readonly buckets: number },
    now: number,
  ): Promise<ChartRows | null> {
    const rows = readVessel(this.#sql, now);
    if (rows === null) return null;
    const { watched, state } = rows;
    return chartRows(this.#sql, watched, span, now, (times) => curveOf(watched, state, times));
  }

  /**
   * Everything that is known of the readings, in bounded pages: begin with null, go on with `next`.
   * Null where the vessel was never created or the cursor is none of ours.
   */
  async exportReadings(cursor: string | null): Promise<ExportedPage | null> {
    const place = cursor === null ? firstPlace : placeOf(cursor);
    if (place === null || !hasTables(this.#sql)) return null;
    const { page, next } = exportPage(this.#sql, place);
    return { page, next: next === null ? null : cursorOf(next) };
  }

  /**
   * Takes a page of an export, or a piece of a back-fill, and judges nothing: old points wake nobody.
   * Taking it twice changes nothing. Null where the vessel was never created. Where it tells of the
   * running batch, the watch recalls it in a while, or when it is asked to.
   */
  async importReadings(page: ReadingPage, now: number): Promise<ImportCounts | null> {
    const rows = readVessel(this.#sql, now);
    if (rows === null) return null;
    const counts = this.ctx.storage.transactionSync(() => {
      lookAgain(this.#sql, now + thinAfterImportSeconds);
      const imported = importPage(this.#sql, page, now);
      if (imported.stored + imported.corrected > 0 && page.kind === 'readings')
        askForRecall(this.#sql, rows.watched, page.series, now);
      return imported;
    });
    await this.#setNextWakeUp(now, rows);
    return counts;
  }

  /**
   * Lets the watch recall what was imported of the running batch, a bounded step at a time and telling
   * nobody. True while there is more to recall.
   */
  async recallHistory(now: number): Promise<boolean> {
    const rows = readVessel(this.#sql, now);
    if (rows === null || recallDue(this.#sql) === null) return false;
    const more = this.ctx.storage.transactionSync(() => recallStep(this.#sql, rows, now));
    if (!more) await this.#setNextWakeUp(now);
    return more;
  }

  /** Readings in full detail of (after, to] as rows in order of time; null where the vessel was never created. */
  async readingRows(after: number, to: number): Promise<RowPage | null> {
    return hasTables(this.#sql) ? rowPage(this.#sql, after, to) : null;
  }

  /** Channels of which there are readings in full detail. */
  async channelsRead(): Promise<readonly Channel[]> {
    return hasTables(this.#sql) ? channelsRead(this.#sql) : [];
  }

  /** Takes over the history of an archive; nobody is told. */
  async takeArchivedNews(items: readonly ArchivedBody[]): Promise<void> {
    if (hasTables(this.#sql))
      this.ctx.storage.transactionSync(() => takeBodiesOver(this.#sql, items));
  }

  /**
   * Takes over the latest batch of an archive and its alarms as they last stood; the watch has yet to
   * recall its readings. False where another batch is in the vessel. Twice changes nothing.
   */
  async adopt(batch: Batch | null, alarms: readonly Alarm[], now: number): Promise<boolean> {
    const rows = readVessel(this.#sql, now);
    if (rows === null) return false;
    const { batch: present } = rows;
    const same = present?.batch === batch?.batch;
    if (!same && rows.watched.batch !== null) return false;
    this.ctx.storage.transactionSync(() => {
      const takes = !same && batch !== null && (present?.startedAt ?? 0) <= batch.startedAt;
      if (takes) writeDocument(this.#sql, 'batch', batch);
      const adopted = readVessel(this.#sql, now) ?? rows;
      writeDocument(this.#sql, 'watch', withAlarms(adopted.state, alarms));
      if (adopted.watched.batch !== null) askForRecallNow(this.#sql, now);
    });
    // By then the recall is long over, or goes on by itself before anything is judged.
    await setWakeUp(this.ctx.storage, this.env, now + recalledBySeconds);
    return true;
  }

  /** The cellar's rule of retention has changed: looks at it with the next wake-up. */
  async reviewRetention(now: number): Promise<void> {
    const rows = readVessel(this.#sql, now);
    if (rows === null) return;
    lookAgain(this.#sql, now);
    await this.#setNextWakeUp(now, rows);
  }

  /**
   * The wake-up: judges what silence alone has changed, relays the outbox to the cellar, recalls what was
   * imported, and thins readings that are past their time.
   */
  override async alarm(): Promise<void> {
    const now = await cellarNow(this.env);
    this.#countWakeUp(now);
    const rows = this.#rowsAwake(now);
    if (rows === null) return;
    try {
      const recalls = (recallDue(this.#sql) ?? Number.POSITIVE_INFINITY) <= now;
      if (!recalls || !(await this.recallHistory(now))) this.#judgeWhatIsDue(now);
      await relayNews(this.#sql, this.env, rows.identity.cellar, now);
      await this.#thin(rows.identity, now);
    } finally {
      await this.#setNextWakeUp(now);
    }
  }

  /** With a driven clock nothing is planned, and nothing is late. */
  #countWakeUp(now: number): void {
    this.#counts.wakeUps += 1;
    const planned = readVessel(this.#sql, now)?.planned ?? null;
    if (isLate(planned, now)) this.#counts.lateWakeUps += 1;
  }

  #judgeWhatIsDue(now: number): void {
    const rows = readVessel(this.#sql, now);
    const due = rows === null ? null : nextDue(rows.watched, rows.state, now);
    if (due !== null && due <= now) this.ctx.storage.transactionSync(() => this.#judgeAgain(now));
  }

  async #thin({ cellar, vessel }: Identity, now: number): Promise<void> {
    const due = thinningDue(this.#sql, now);
    if (due === null || due > now) return;
    try {
      const rule = await cellarStub(this.env, cellar).retentionRule(vessel.vessel);
      this.ctx.storage.transactionSync(() => thin(this.#sql, rule, now));
    } catch (error) {
      postponeThinning(this.#sql, now + askAgainSeconds);
      log('retention-rule-unknown', { cellar, vessel: vessel.vessel, reason: String(error) });
    }
  }

  /**
   * The rows, once it has been noticed whether Gyleward was away. After a sleep of the machine, or a leap
   * of its clock, a reading may come before the late wake-up does.
   */
  #rowsAwake(now: number): VesselRows | null {
    const rows = readVessel(this.#sql, now);
    if (rows === null || leapsAreMeant(this.env) || !isLate(rows.planned, now)) return rows;
    const absence = absenceOf(rows.planned, lastReceipt(this.#sql), now);
    if (absence === null) return rows;
    this.ctx.storage.transactionSync(() => {
      writeDocument(this.#sql, 'absence', absence);
      removeDocument(this.#sql, 'wake-up');
    });
    log('was-away', { vessel: rows.identity.vessel.vessel, ...absence });
    return readVessel(this.#sql, now);
  }

  async #changeBatch(
    name: string,
    change: (batch: Batch) => Batch,
    now: number,
  ): Promise<Result<Batch, BatchFault>> {
    const rows = readVessel(this.#sql, now);
    if (rows === null) return fail({ kind: 'vessel-unknown' });
    const present = rows.watched.batch;
    if (present === null || present.batch !== name)
      return fail({ kind: 'batch-not-here', batch: name });
    const changed = change(present);
    await this.#writeBatch(changed, now);
    return ok(changed);
  }

  async #writeBatch(batch: Batch, now: number): Promise<void> {
    this.ctx.storage.transactionSync(() => {
      writeDocument(this.#sql, 'batch', batch);
      this.#judgeAgain(now);
    });
    await this.#setNextWakeUp(now);
  }

  /** The description or the time changed: lets the watch adapt to it, inside a transaction. */
  #judgeAgain(now: number): void {
    const rows = readVessel(this.#sql, now);
    if (rows === null) return;
    keepVerdict(this.#sql, rows, judge(rows.watched, rows.state, [], now), now);
  }

  /** The timer is derived from rows; what was planned is kept, so that a late one is noticed. */
  async #setNextWakeUp(now: number, known: VesselRows | null = null): Promise<void> {
    const rows = known ?? readVessel(this.#sql, now);
    if (rows === null) return;
    const due = earliest([
      nextDue(rows.watched, rows.state, now),
      outboxDue(this.#sql),
      thinningDue(this.#sql, now),
      recallDue(this.#sql),
    ]);
    await setWakeUp(this.ctx.storage, this.env, due, (dueAt) => {
      if (leapsAreMeant(this.env)) return;
      if (dueAt !== null) writeDocument(this.#sql, 'wake-up', { dueAt, setAt: now });
      else if (rows.planned !== null) removeDocument(this.#sql, 'wake-up');
    });
  }
}
