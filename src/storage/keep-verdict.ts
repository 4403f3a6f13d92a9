/**
 * Writes what monitoring said: the state of the watch, the vessel's history and its outbox, inside the
 * transaction that stored the readings behind it.
 */
import { restoredChange } from '../monitoring/alarms/restored-alarm.ts';
import type { Verdict } from '../monitoring/watch.ts';
import { writeDocument } from './document-table.ts';
import type { VesselNews } from './news.ts';
import { putNews } from './outbox-table.ts';
import type { VesselRows } from './vessel-rows.ts';

export const keepVerdict = (
  sql: SqlStorage,
  rows: VesselRows,
  verdict: Verdict,
  now: number,
): VesselRows => {
  writeDocument(sql, 'watch', verdict.state);
  const { vessel, cellar } = rows.identity;
  const bodies: readonly VesselNews['body'][] = [
    ...verdict.changes.map((change) => ({ kind: 'alarm', change }) as const),
    ...verdict.happenings.map((happening) => ({ kind: 'happening', happening }) as const),
  ];
  for (const body of bodies) {
    sql.exec('INSERT INTO news (at, body) VALUES (?, ?)', now, JSON.stringify(body));
    const news: VesselNews = {
      id: `news_${crypto.randomUUID()}`,
      cellar,
      vessel: vessel.vessel,
      vesselTitle: vessel.title,
      batch: rows.batch?.batch ?? null,
      batchTitle: rows.batch?.title ?? null,
      body,
    };
    putNews(sql, news, now);
  }
  return { ...rows, state: verdict.state };
};

/** The vessel's own history, newest first. */
export const recentNews = (sql: SqlStorage, limit: number): readonly VesselNews['body'][] =>
  sql
    .exec<{ body: string }>('SELECT body FROM news ORDER BY id DESC LIMIT ?', limit)
    .toArray()
    .map((row) => JSON.parse(row.body) as VesselNews['body'])
    .map((body) =>
      body.kind === 'alarm' ? { ...body, change: restoredChange(body.change) } : body,
    );
