/**
 * Carries the outbox of a vessel to its cellar, oldest first, until it is empty or a try fails.
 * The cellar takes each piece of news once, however often it is sent.
 */
import { backoffSeconds } from './backoff.ts';
import { cellarStub, type Env } from './env.ts';
import { log } from './log.ts';
import { outboxDue, pendingNews, postponeNews, removeNews } from './outbox-table.ts';

/** News that one relay call carries: chosen by us, far under the platform's 32 MiB per call. */
const newsPerRelay = 50;

export const relayNews = async (
  sql: SqlStorage,
  env: Env,
  cellar: string,
  now: number,
): Promise<void> => {
  for (;;) {
    const due = outboxDue(sql);
    if (due === null || due > now) return;
    const rows = pendingNews(sql, newsPerRelay);
    const last = rows.at(-1);
    if (last === undefined) return;
    try {
      await cellarStub(env, cellar).takeNews(
        rows.map((row) => row.news),
        now,
      );
      removeNews(sql, last.id);
    } catch (error) {
      const tries = (rows[0]?.tries ?? 0) + 1;
      postponeNews(sql, now + backoffSeconds(tries, Math.random()));
      log('relay-failed', { cellar, tries, reason: String(error) });
      return;
    }
  }
};
