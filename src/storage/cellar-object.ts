/**
 * One cellar: the list of its vessels and batches, its keys, the alarms that stand in it and their
 * history, and the queues of its receivers. Thin: rows in, rows out, wake-up derived from rows.
 * An object that was only asked for, and never founded, writes nothing. Longer than 250 lines, since
 * the platform wants all methods of an object in one class.
 */
import { DurableObject } from 'cloudflare:workers';
import { type AlarmFigures, alarmFigures } from '../monitoring/alarms/alarm-figures.ts';
import type { Duty } from '../monitoring/alarms/duty.ts';
import type { Batch } from '../monitoring/batch.ts';
import type { Status } from '../monitoring/status.ts';
import type { Vessel } from '../monitoring/vessel.ts';
import type { Grant, KeyListing } from './access.ts';
import { linkedAlarm, useLink } from './acknowledge-link.ts';
import {
  type HistoryEntry,
  recentHistory,
  type StandingAlarm,
  standingAlarms,
  toldSince,
} from './alarm-history.ts';
import { type ArchivedNews, type NewsPage, newsPage, takeNewsOver } from './archived-news.ts';
import {
  holdBatch,
  type ListedBatch,
  listedBatch,
  listedBatches,
  removeBatch,
  writeBatch,
} from './batch-list-table.ts';
import { callsOwed, markStandingAsCalled } from './call-table.ts';
import { cellarMigrations } from './cellar-migrations.ts';
import { cellarNow } from './clock.ts';
import { type DeadLetter, deadLetters, sendAgain } from './dead-letters.ts';
import { queueFor } from './delivery-table.ts';
import { readDocument, writeDocument } from './document-table.ts';
import { type Env, vesselStub } from './env.ts';
import { FailedTries } from './failed-tries.ts';
import { floodBy, floodDue } from './flood-document.ts';
import { type Health, probeHealth, probeWoke } from './health-probe.ts';
import { setHeartbeat } from './heartbeat-table.ts';
import type { JournalEntry, JournalRow } from './journal-entry.ts';
import { journalAfter, lastEntryOf, putJournal, recentJournal } from './journal-table.ts';
import { fewestKeepDays, mostKeepDays, usualKeepDays } from './keep-days.ts';
import {
  grantOfKey,
  grantOfSession,
  hasOtherKeeper,
  listKeys,
  putKey,
  putSession,
  removeSession,
  revokeKey,
} from './key-table.ts';
import { hasTables, migrate } from './migrations.ts';
import type { OwnNews, VesselNews } from './news.ts';
import { Postman } from './postman.ts';
import { pushKey } from './push-keys.ts';
import {
  dutiesOf,
  listReceivers,
  putReceiver,
  type Receiver,
  type ReceiverListing,
  removeReceiver,
  renewSubscription,
  replaceSecret,
  subscribedAt,
  subscriptionCount,
  type Way,
  writeDuty,
} from './receiver-table.ts';
import type { RetentionRule } from './retention.ts';
import type { PushDetails } from './route.ts';
import { sameJson } from './same-json.ts';
import { callOthers, takeOneNews, tellFloods } from './tell-receivers.ts';
import {
  listedVesselNames,
  listedVessels,
  listVessel,
  titleOfVessel,
} from './vessel-list-table.ts';
import { earliest, setWakeUp } from './wake-up.ts';

export type Cellar = {
  readonly cellar: string;
  readonly title: string;
  readonly foundedAt: number;
};

/** A grant with the names of all vessels, so that one call admits a whole pack of readings. */
export type Admission = { readonly grant: Grant; readonly vessels: readonly string[] };

export type RefusedTry = {
  readonly kind: 'refused';
  /** Set where too many have failed of late. */
  readonly retryAfterSeconds: number | null;
};

export type Tried = { readonly kind: 'admitted'; readonly admission: Admission } | RefusedTry;

/** How long a replaced secret signs on, so that a receiver can be changed over in peace. */
const formerSecretSeconds = 86_400;

/** Pieces of news that a page of the history holds. Chosen by us: about half a megabyte. */
const newsPerPage = 200;

/** Chosen by us: 24 entries a day at most, whatever strangers do. */
const triesEntrySeconds = 3600;

/** Browsers told by push in one cellar. Chosen by us: more than it has people. */
const mostSubscriptions = 50;

/** An alarm that whoever holds a link may acknowledge. */
export type AlarmBehindLink = {
  readonly alarm: StandingAlarm;
  readonly vesselTitle: string;
  /** Title of the receiver that got the link. */
  readonly receiver: string;
};

/** How a cellar does; what is counted is counted in memory, from `since` on (Unix seconds, wall clock). */
export type CellarTallies = {
  readonly vessels: readonly string[];
  readonly since: number;
  readonly refusedPacks: readonly { readonly reason: string; readonly count: number }[];
  readonly refusedKeys: number;
  readonly standing: readonly StandingAlarm[];
  readonly deliveriesWaiting: number;
  readonly deliveriesGivenUp: number;
};

/** What a keeper says of a batch's hold. */
export type LegalHold = {
  readonly held: boolean;
  readonly by: string;
  readonly note: string | null;
};

export class CellarObject extends DurableObject<Env> {
  readonly #sql: SqlStorage;
  readonly #postman: Postman;
  readonly #tries = new FailedTries();
  /** Since the last entry of the journal that counts them; lost where the object ends before the next. */
  #refusedTries = 0;
  /** In memory, from this moment on. */
  readonly #since = Date.now() / 1000;
  readonly #refusedPacks = new Map<string, number>();
  #refusedKeys = 0;
  #triesEnteredAt: number | null = null;

  constructor(ctx: DurableObjectState, env: Env) {
    super(ctx, env);
    this.#sql = ctx.storage.sql;
    this.#postman = new Postman(this.#sql, env);
    if (!hasTables(this.#sql)) return;
    migrate(ctx.storage, cellarMigrations);
    void ctx.blockConcurrencyWhile(async () => {
      await this.#setNextWakeUp(await cellarNow(env));
    });
  }

  /** Founds the cellar with its first keeper key; false if it stands already. */
  async found(cellar: Cellar, keeper: Grant, hash: string): Promise<boolean> {
    if (this.#cellar() !== null) return false;
    migrate(this.ctx.storage, cellarMigrations);
    this.ctx.storage.transactionSync(() => {
      writeDocument(this.#sql, 'cellar', cellar);
      putKey(this.#sql, keeper, hash, cellar.foundedAt);
    });
    return true;
  }

  async describe(): Promise<Cellar | null> {
    return this.#cellar();
  }

  // Keys and sessions

  /** Lets a key in, or counts a failed try of an address: for a cellar that was never founded in the same way. */
  async admitKey(hash: string, address: string, now: number): Promise<Tried> {
    const admission = this.#admit(() => grantOfKey(this.#sql, hash, now));
    return admission === null ? this.refuseTry(address, now) : { kind: 'admitted', admission };
  }

  /** Counts a try with something that cannot be a key of this cellar. */
  async refuseTry(address: string, now: number): Promise<RefusedTry> {
    this.#refusedKeys += 1;
    this.#enterRefusedTries(now);
    return { kind: 'refused', retryAfterSeconds: this.#tries.count(address, now) };
  }

  async admitSession(hash: string, now: number): Promise<Admission | null> {
    return this.#admit(() => grantOfSession(this.#sql, hash, now));
  }

  /** False where the cellar was never founded. */
  async addKey(grant: Grant, hash: string, now: number): Promise<boolean> {
    if (this.#cellar() === null) return false;
    putKey(this.#sql, grant, hash, now);
    return true;
  }

  async keys(): Promise<readonly KeyListing[]> {
    return listKeys(this.#sql);
  }

  /** The last working keeper key stays: without it nobody could get in. */
  async revokeKey(id: string, now: number): Promise<'revoked' | 'unknown' | 'last-keeper'> {
    const key = listKeys(this.#sql).find((listed) => listed.keyId === id);
    if (key === undefined) return 'unknown';
    if (key.role === 'keeper' && key.revokedAt === null && !hasOtherKeeper(this.#sql, id, now))
      return 'last-keeper';
    this.ctx.storage.transactionSync(() => revokeKey(this.#sql, id, now));
    return 'revoked';
  }

  async openSession(
    session: { readonly hash: string; readonly keyId: string; readonly expiresAt: number },
    now: number,
  ): Promise<void> {
    putSession(this.#sql, session, now);
  }

  async closeSession(hash: string): Promise<void> {
    if (this.#cellar() !== null) removeSession(this.#sql, hash);
  }

  // Vessels and batches

  async listVessel(vessel: Vessel): Promise<void> {
    listVessel(this.#sql, vessel);
  }

  async vessels(): Promise<readonly Vessel[]> {
    return listedVessels(this.#sql);
  }

  /** Writes a batch into the list, or says which one of that name is there already. */
  async listBatch(batch: Batch, vessel: string): Promise<ListedBatch | null> {
    const listed = listedBatch(this.#sql, batch.batch);
    if (listed !== null && (listed.vessel !== vessel || listed.batch.endedAt !== null))
      return listed;
    writeBatch(this.#sql, batch, vessel, null);
    return null;
  }

  async updateBatch(batch: Batch, vessel: string, finalStatus: Status | null): Promise<void> {
    writeBatch(this.#sql, batch, vessel, finalStatus);
  }

  async unlistBatch(batch: string): Promise<void> {
    removeBatch(this.#sql, batch);
  }

  async batch(name: string): Promise<ListedBatch | null> {
    return listedBatch(this.#sql, name);
  }

  async batches(): Promise<readonly ListedBatch[]> {
    return listedBatches(this.#sql);
  }

  // Retention

  /** Days for which every reading is kept before it is thinned to hours. */
  async keepDays(): Promise<number> {
    return this.#keepDays();
  }

  /** Sets the days and tells every vessel; false where there is no cellar or no such time. */
  async setKeepDays(days: number, by: string, now: number): Promise<boolean> {
    const cellar = this.#cellar();
    if (cellar === null || !(days >= fewestKeepDays && days <= mostKeepDays)) return false;
    const before = this.#keepDays();
    this.ctx.storage.transactionSync(() => {
      writeDocument(this.#sql, 'keep-days', days);
      const facts = { before, days };
      putJournal(this.#sql, {
        at: now,
        by,
        act: 'kept-days-set',
        about: cellar.cellar,
        note: null,
        facts,
      });
    });
    const vessels = await this.vessels();
    await Promise.all(
      vessels.map(({ vessel }) => vesselStub(this.env, cellar.cellar, vessel).reviewRetention(now)),
    );
    return true;
  }

  /** Puts a batch under legal hold or lifts it; false where there is no such batch. */
  async setLegalHold(batch: string, hold: LegalHold, now: number): Promise<boolean> {
    const listed = listedBatch(this.#sql, batch);
    if (listed === null) return false;
    if (listed.legalHold === hold.held) return true;
    this.ctx.storage.transactionSync(() => {
      holdBatch(this.#sql, batch, hold.held);
      putJournal(this.#sql, {
        at: now,
        by: hold.by,
        act: hold.held ? 'legal-hold-set' : 'legal-hold-lifted',
        about: batch,
        note: hold.note,
        facts: {},
      });
    });
    return true;
  }

  // Archives

  /** Takes a batch of an archive over into the list; tells where one of that name is there and differs. */
  async takeArchivedBatch(listed: ListedBatch): Promise<'taken' | 'same' | 'differs'> {
    const { batch, vessel, finalStatus, legalHold } = listed;
    const known = listedBatch(this.#sql, batch.batch);
    if (known !== null) return sameJson(known, listed) ? 'same' : 'differs';
    this.ctx.storage.transactionSync(() => {
      writeBatch(this.#sql, batch, vessel, finalStatus);
      if (legalHold) holdBatch(this.#sql, batch.batch, true);
    });
    return 'taken';
  }

  /** The history, oldest first, a page at a time; 0 begins. */
  async newsAfter(after: number): Promise<NewsPage> {
    return newsPage(this.#sql, after, newsPerPage);
  }

  /** Takes the history of an archive over as its own; nobody is told. Tells how many pieces were new. */
  async takeArchivedNews(items: readonly ArchivedNews[]): Promise<number> {
    const cellar = this.#cellar();
    if (cellar === null) return 0;
    const own = items.map(({ at, news }) => ({ at, news: { ...news, cellar: cellar.cellar } }));
    return this.ctx.storage.transactionSync(() => takeNewsOver(this.#sql, own));
  }

  // The journal

  /** Writes down what a person did to the records; nothing where there is no cellar. */
  async enterJournal(entry: JournalEntry): Promise<void> {
    if (this.#cellar() !== null) putJournal(this.#sql, entry);
  }

  /** Newest first; those before a place where one is given. */
  async journal(limit: number, before: number | null): Promise<readonly JournalRow[]> {
    return recentJournal(this.#sql, limit, before);
  }

  /** Oldest first, those after a place. */
  async journalAfter(after: number, limit: number): Promise<readonly JournalRow[]> {
    return journalAfter(this.#sql, after, limit);
  }

  /** What one vessel must know before it thins its readings. */
  async retentionRule(vessel: string): Promise<RetentionRule> {
    const batches = (await this.batches()).filter((listed) => listed.vessel === vessel);
    return {
      keepDays: this.#keepDays(),
      held: batches
        .filter(({ batch, legalHold }) => legalHold || batch.endedAt === null)
        .map(({ batch }) => ({ from: batch.startedAt, to: batch.endedAt })),
    };
  }

  // Alarms, news and receivers

  /** Takes news from a vessel's outbox, once each however often it is sent, and sends it on. */
  async takeNews(items: readonly VesselNews[], now: number): Promise<void> {
    const cellar = this.#cellar();
    this.ctx.storage.transactionSync(() => {
      for (const news of items) takeOneNews(this.#sql, cellar, news, now);
    });
    await this.#sendOut(now);
  }

  async standingAlarms(): Promise<readonly StandingAlarm[]> {
    return standingAlarms(this.#sql);
  }

  /** Newest first. */
  async history(limit: number): Promise<readonly HistoryEntry[]> {
    return recentHistory(this.#sql, limit);
  }

  /** How the alarms have done over the last days, at most since the cellar was founded. */
  async alarmFigures(days: number, now: number): Promise<AlarmFigures> {
    const founded = this.#cellar()?.foundedAt ?? now;
    const told = toldSince(this.#sql, Math.max(now - days * 86_400, founded));
    return alarmFigures(told.changes, standingAlarms(this.#sql), { from: told.from, to: now });
  }

  async addReceiver(receiver: Receiver, way: Way, now: number): Promise<void> {
    putReceiver(this.#sql, receiver, way, now);
  }

  /** The public key that a browser subscribes with; made at first demand, null where there is no cellar. */
  async pushKey(): Promise<string | null> {
    return this.#cellar() === null ? null : pushKey(this.#sql);
  }

  /** A browser wants to be told; false where as many are told already as may be. */
  async subscribe(receiver: Receiver, details: PushDetails, now: number): Promise<boolean> {
    const known = subscribedAt(this.#sql, receiver.url);
    if (known !== null) renewSubscription(this.#sql, known, receiver.title, details);
    else if (subscriptionCount(this.#sql) >= mostSubscriptions) return false;
    else putReceiver(this.#sql, receiver, { kind: 'push', details }, now);
    return true;
  }

  /** A browser wants to be told no longer; gives back which receiver it was, null where it was none. */
  async unsubscribe(url: string): Promise<string | null> {
    const known = subscribedAt(this.#sql, url);
    if (known !== null) await this.removeReceiver(known);
    return known;
  }

  /** The alarm that a link acknowledges, as it stands; null where the link leads nowhere any more. */
  async alarmBehindLink(token: string, now: number): Promise<AlarmBehindLink | null> {
    if (this.#cellar() === null) return null;
    const linked = await linkedAlarm(this.#sql, token, now);
    const alarm = standingAlarms(this.#sql).find(
      (one) => one.vessel === linked?.vessel && one.alarm === linked.alarm,
    );
    return linked === null || alarm?.occurrence !== linked.occurrence
      ? null
      : { alarm, vesselTitle: titleOfVessel(this.#sql, linked.vessel), receiver: linked.receiver };
  }

  /** Uses a link up; true for the one who does it first. */
  async useLink(token: string, now: number): Promise<boolean> {
    return this.#cellar() !== null && (await useLink(this.#sql, token, now));
  }

  async receivers(now: number): Promise<readonly ReceiverListing[]> {
    return listReceivers(this.#sql, now);
  }

  async removeReceiver(id: string): Promise<boolean> {
    return this.ctx.storage.transactionSync(() => removeReceiver(this.#sql, id));
  }

  /** Gives a receiver another secret; says until when the former one signs too, or null: no such receiver. */
  async replaceSecret(id: string, secret: string, now: number): Promise<number | null> {
    const formerUntil = now + formerSecretSeconds;
    return replaceSecret(this.#sql, id, secret, formerUntil) ? formerUntil : null;
  }

  /** Says whom a receiver is told of, and when; false where there is no such receiver. */
  async setDuty(id: string, duty: Duty, now: number): Promise<boolean> {
    const before = this.#dutyOf(id);
    if (before === null) return false;
    this.ctx.storage.transactionSync(() => {
      markStandingAsCalled(this.#sql, id, before);
      writeDuty(this.#sql, id, duty);
    });
    await this.#sendOut(now);
    return true;
  }

  /** Sets or ends a receiver's heartbeat; false where there is no such receiver. */
  async setHeartbeat(id: string, everyMinutes: number | null, now: number): Promise<boolean> {
    if (this.#dutyOf(id) === null) return false;
    setHeartbeat(this.#sql, id, everyMinutes);
    await this.#sendOut(now);
    return true;
  }

  /** Sends a message that says it is a test; false where there is no such receiver. */
  async sendTest(id: string, by: string, now: number): Promise<boolean> {
    const cellar = this.#cellar();
    if (cellar === null || this.#dutyOf(id) === null) return false;
    const test: OwnNews = {
      id: `news_${crypto.randomUUID()}`,
      cellar: cellar.cellar,
      cellarTitle: cellar.title,
      body: { kind: 'test', at: now, by },
    };
    queueFor(this.#sql, id, test, 'with-delivery', now);
    await this.#sendOut(now);
    return true;
  }

  /** What was given up, newest first; null where there is no such receiver. */
  async deadLetters(id: string): Promise<readonly DeadLetter[] | null> {
    return this.#dutyOf(id) === null ? null : deadLetters(this.#sql, id);
  }

  /** Sends one dead letter, or all of a receiver's, again; says how many. */
  async sendAgain(id: string, which: number | 'all', now: number): Promise<number> {
    const count = sendAgain(this.#sql, id, which, now);
    await this.#sendOut(now);
    return count;
  }

  /** Whether storage and wake-ups work; asked of an object that is no cellar. */
  async probe(now: number): Promise<Health> {
    return probeHealth(this.ctx.storage, now);
  }

  /** The wake-up: looks at floods and at calls that are due, and serves every receiver that is. */
  override async alarm(): Promise<void> {
    if (this.#cellar() === null) return probeWoke(this.ctx.storage, Date.now());
    const now = await cellarNow(this.env);
    try {
      this.ctx.storage.transactionSync(() => {
        tellFloods(this.#sql, this.#cellar(), floodBy(this.#sql, now), now);
        callOthers(this.#sql, this.#cellar(), now);
      });
    } finally {
      await this.#sendOut(now);
    }
  }

  /** Begins with what is due and waits for no receiver; the wake-up is derived again when each is done. */
  async #sendOut(now: number): Promise<void> {
    for (const served of this.#postman.serve(now))
      this.ctx.waitUntil(served.then(async () => this.#setNextWakeUp(await cellarNow(this.env))));
    await this.#setNextWakeUp(now);
  }

  #dutyOf(id: string): Duty | null {
    return dutiesOf(this.#sql).find((receiver) => receiver.id === id)?.duty ?? null;
  }

  /** Counts a pack of readings that was refused, by the kind of the fault. Writes nothing. */
  async countRefusedPack(reason: string): Promise<void> {
    this.#refusedPacks.set(reason, (this.#refusedPacks.get(reason) ?? 0) + 1);
  }

  /** How the cellar does, as far as its own rows and memory tell. */
  async tallies(now: number): Promise<CellarTallies> {
    const receivers = await this.receivers(now);
    const sum = (read: (one: (typeof receivers)[number]) => number): number =>
      receivers.reduce((all, one) => all + read(one), 0);
    return {
      vessels: (await this.vessels()).map(({ vessel }) => vessel),
      since: this.#since,
      refusedPacks: Array.from(this.#refusedPacks, ([reason, count]) => ({ reason, count })),
      refusedKeys: this.#refusedKeys,
      standing: standingAlarms(this.#sql),
      deliveriesWaiting: sum(({ waiting }) => waiting),
      deliveriesGivenUp: sum(({ givenUp }) => givenUp),
    };
  }

  /** The count alone, an hour's at most in one entry: a stranger must not be able to fill the journal. */
  #enterRefusedTries(now: number): void {
    const cellar = this.#cellar();
    if (cellar === null) return;
    this.#refusedTries += 1;
    this.#triesEnteredAt ??= lastEntryOf(this.#sql, 'tries-refused') ?? Number.NEGATIVE_INFINITY;
    if (now - this.#triesEnteredAt < triesEntrySeconds) return;
    const facts = { count: this.#refusedTries };
    const about = cellar.cellar;
    putJournal(this.#sql, { at: now, by: '', act: 'tries-refused', about, note: null, facts });
    this.#triesEnteredAt = now;
    this.#refusedTries = 0;
  }

  #admit(find: () => Grant | null): Admission | null {
    if (this.#cellar() === null) return null;
    const grant = find();
    if (grant === null) return null;
    return { grant, vessels: listedVesselNames(this.#sql) };
  }

  #keepDays(): number {
    return readDocument<number>(this.#sql, 'keep-days') ?? usualKeepDays;
  }

  #cellar(): Cellar | null {
    return hasTables(this.#sql) ? readDocument<Cellar>(this.#sql, 'cellar') : null;
  }

  async #setNextWakeUp(now: number): Promise<void> {
    await setWakeUp(
      this.ctx.storage,
      this.env,
      earliest([
        this.#postman.due(now),
        floodDue(this.#sql),
        earliest(callsOwed(this.#sql).map(({ due }) => due)),
      ]),
    );
  }
}
