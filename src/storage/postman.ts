/**
 * Works off the queues of a cellar's receivers, each by itself: a slow or dead receiver holds up no other,
 * and the wake-up waits for none of them. Who is being served is remembered in memory only; the rows say
 * what is left to do, so that an object which dies over a try goes on where it was.
 */
import type { VapidKeys } from '../wire/vapid.ts';
import { acknowledgeLink } from './acknowledge-link.ts';
import { backoffSeconds } from './backoff.ts';
import { cellarNow } from './clock.ts';
import { dropOldDeadLetters } from './dead-letters.ts';
import { deliver } from './deliver.ts';
import {
  type Delivery,
  markDelivered,
  markFailed,
  nextDelivery,
  receiversDue,
} from './delivery-table.ts';
import { readDocument } from './document-table.ts';
import type { Env } from './env.ts';
import { beatsDue, markBeat, unansweredCount } from './heartbeat-table.ts';
import { log } from './log.ts';
import type { Message, OwnNews } from './news.ts';
import { removeReceiver } from './receiver-table.ts';
import { routeOf } from './route.ts';
import { answerSeconds, type Outcome } from './try-request.ts';

/** Three days, as long as a receiver may be dead over a weekend before we give up. */
const giveUpSeconds = 3 * 86_400;

/** Longest span without a look at the rows while a try is under way: the answer's limit and some. */
const lookAgainSeconds = answerSeconds + 15;

export class Postman {
  readonly #sql: SqlStorage;
  readonly #env: Env;
  readonly #serving = new Set<string>();

  constructor(sql: SqlStorage, env: Env) {
    this.#sql = sql;
    this.#env = env;
  }

  /** Begins with every receiver that is due and not being served; a promise for each, until it is worked off. */
  serve(now: number): readonly Promise<void>[] {
    const due = [...receiversDue(this.#sql), ...beatsDue(this.#sql)]
      .filter((one) => one.due <= now && !this.#serving.has(one.receiver))
      .map(({ receiver }) => receiver);
    return [...new Set(due)].map((receiver) => this.#serveOne(receiver));
  }

  /**
   * Unix seconds at which a receiver is next to be served; null while nothing waits. One that is being
   * served counts as due a little later, so that a try that dies with the object is made again.
   */
  due(now: number): number | null {
    const moments = [...receiversDue(this.#sql), ...beatsDue(this.#sql)].map(({ receiver, due }) =>
      this.#serving.has(receiver) ? Math.max(due, now + lookAgainSeconds) : due,
    );
    return moments.length === 0 ? null : Math.min(...moments);
  }

  async #serveOne(receiver: string): Promise<void> {
    this.#serving.add(receiver);
    try {
      for (;;) {
        const now = await cellarNow(this.#env);
        const delivery = nextDelivery(this.#sql, receiver, now);
        if (delivery === null) {
          if (!(await this.#beat(receiver, now))) return;
          continue;
        }
        const outcome = await this.#try(receiver, delivery.message, now);
        this.#settle(delivery, outcome, await cellarNow(this.#env));
      }
    } finally {
      this.#serving.delete(receiver);
    }
  }

  /** Sends a heartbeat that is due; false where none is. */
  async #beat(receiver: string, now: number): Promise<boolean> {
    const beat = beatsDue(this.#sql).find((one) => one.receiver === receiver && one.due <= now);
    const cellar = readDocument<{ cellar: string; title: string }>(this.#sql, 'cellar');
    if (beat === undefined || cellar === null) return false;
    const message: OwnNews = {
      id: `news_${crypto.randomUUID()}`,
      cellar: cellar.cellar,
      cellarTitle: cellar.title,
      body: {
        kind: 'heartbeat',
        at: now,
        everyMinutes: beat.everyMinutes,
        unanswered: unansweredCount(this.#sql),
      },
    };
    const outcome = await this.#try(receiver, message, now);
    if (outcome.kind === 'gone') this.#drop(receiver, outcome.words);
    else markBeat(this.#sql, receiver, outcome.words, now);
    return true;
  }

  async #try(receiver: string, message: Message, now: number): Promise<Outcome> {
    const sql = this.#sql;
    const route = routeOf(sql, receiver, now);
    try {
      if (route === null) throw new Error('the receiver is gone');
      const link = await acknowledgeLink(sql, this.#env.PUBLIC_URL, receiver, message, now);
      const vapid = readDocument<VapidKeys>(sql, 'vapid');
      return await deliver(
        route,
        { message, link, timestamp: Date.now() / 1000, vapid, send: fetch },
        this.#env.ALLOW_PRIVATE_RECEIVERS === 'yes',
      );
    } catch (error) {
      log('delivery-broken', { receiver, news: message.id, reason: String(error).slice(0, 200) });
      return { kind: 'failed', words: 'could not be put together', retryAfterSeconds: null };
    }
  }

  #settle(delivery: Delivery, outcome: Outcome, now: number): void {
    if (outcome.kind === 'delivered') {
      markDelivered(this.#sql, delivery, outcome.words);
      return;
    }
    if (outcome.kind === 'gone') {
      this.#drop(delivery.receiver, outcome.words);
      return;
    }
    const wait = backoffSeconds(delivery.receiverTries + 1, Math.random());
    const asked = outcome.retryAfterSeconds;
    const givenUp = now - delivery.queuedAt >= giveUpSeconds;
    markFailed(this.#sql, delivery, {
      outcome: outcome.words,
      at: now,
      nextTry: now + wait,
      heldUntil: asked === null ? null : now + asked,
      givenUpAt: givenUp ? now : null,
    });
    if (givenUp) dropOldDeadLetters(this.#sql, delivery.receiver);
    log(givenUp ? 'delivery-given-up' : 'delivery-failed', {
      receiver: delivery.receiver,
      news: delivery.message.id,
      outcome: outcome.words,
    });
  }
  #drop(receiver: string, words: string): void {
    removeReceiver(this.#sql, receiver);
    log('receiver-gone', { receiver, outcome: words });
  }
}
