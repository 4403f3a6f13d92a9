/**
 * What becomes of news in a cellar: the history, the list of standing alarms, the count for a flood, and a place in
 * the queue of every receiver whose duty it is. Each function belongs inside a transaction.
 */
import type { FloodChange } from '../monitoring/alarms/flood.ts';
import { standAlarm } from './alarm-history.ts';
import { listedBatch } from './batch-list-table.ts';
import { callsOwed, forgetCalls, markCalled } from './call-table.ts';
import { queueFor } from './delivery-table.ts';
import { countForFlood } from './flood-document.ts';
import type { CellarNews, News, UnansweredNews, VesselNews } from './news.ts';
import { dutiesOf } from './receiver-table.ts';
import { tellsAtOnce } from './tells-at-once.ts';
import { titleOfVessel } from './vessel-list-table.ts';

/** As the cellar's own object describes it; null where it was never founded. */
type Told = { readonly cellar: string; readonly title: string } | null;

const newsId = (): string => `news_${crypto.randomUUID()}`;

/** Writes a piece of news into the history and queues it for every receiver whose duty it is. */
const tell = (sql: SqlStorage, news: News, now: number): void => {
  sql.exec('INSERT INTO news (id, at, body) VALUES (?, ?, ?)', news.id, now, JSON.stringify(news));
  for (const receiver of dutiesOf(sql))
    if (tellsAtOnce(sql, receiver, news, now)) queueFor(sql, receiver.id, news, 'in-history', now);
};

export const tellFloods = (
  sql: SqlStorage,
  cellar: Told,
  changes: readonly FloodChange[],
  now: number,
): void => {
  if (cellar === null) return;
  for (const change of changes) {
    const news: CellarNews = {
      id: newsId(),
      cellar: cellar.cellar,
      cellarTitle: cellar.title,
      body: { kind: 'flood', change },
    };
    tell(sql, news, now);
  }
};

/** Takes a piece of news of a vessel, once however often it comes. */
export const takeOneNews = (sql: SqlStorage, cellar: Told, news: VesselNews, now: number): void => {
  const known = sql.exec('SELECT 1 FROM news WHERE id = ?', news.id).toArray().length > 0;
  if (known) return;
  if (news.body.kind !== 'alarm') {
    tell(sql, news, now);
    return;
  }
  const { change } = news.body;
  standAlarm(sql, news.vessel, change.alarm, now);
  tell(sql, news, now);
  if (change.alarm.state === 'normal') forgetCalls(sql, news.vessel, change.alarm.alarm);
  tellFloods(sql, cellar, countForFlood(sql, news.vessel, change, now), now);
};

/** Tells receivers whose turn has come of alarms that nobody has answered. */
export const callOthers = (sql: SqlStorage, cellar: Told, now: number): void => {
  for (const call of callsOwed(sql)) {
    if (call.due > now) continue;
    const { vessel, alarm, since, receiver } = call;
    const batch = alarm.batch === null ? null : listedBatch(sql, alarm.batch);
    const news: UnansweredNews = {
      id: newsId(),
      cellar: cellar?.cellar ?? '',
      vessel,
      vesselTitle: titleOfVessel(sql, vessel),
      batch: alarm.batch,
      batchTitle: batch?.batch.title ?? null,
      body: { kind: 'unanswered', at: now, since, alarm },
    };
    markCalled(sql, receiver, { vessel, alarm: alarm.alarm, since });
    queueFor(sql, receiver, news, 'with-delivery', now);
  }
};
