/** The history of a cellar and of its vessels as an archive holds it: read in order, and taken over without telling anybody. */
import type { Alarm } from '../monitoring/alarms/alarm.ts';
import { restoredChange } from '../monitoring/alarms/restored-alarm.ts';
import { standAlarm } from './alarm-history.ts';
import { isOfVessel, type News, type VesselNews } from './news.ts';

export type ArchivedNews = {
  /** Unix seconds at which the cellar heard of it. */
  readonly at: number;
  readonly news: News;
};

export type NewsPage = {
  readonly news: readonly ArchivedNews[];
  /** Give it back for the next page; null at the end. */
  readonly next: number | null;
};

/** Oldest first, in the present shape. */
export const newsPage = (sql: SqlStorage, after: number, limit: number): NewsPage => {
  const rows = sql
    .exec<{ seq: number; at: number; body: string }>(
      'SELECT seq, at, body FROM news WHERE seq > ? ORDER BY seq LIMIT ?',
      after,
      limit,
    )
    .toArray();
  return {
    news: rows.map(({ at, body }) => ({ at, news: present(JSON.parse(body) as News) })),
    next: rows.at(-1)?.seq ?? null,
  };
};

const present = (news: News): News =>
  isOfVessel(news) && news.body.kind === 'alarm'
    ? { ...news, body: { ...news.body, change: restoredChange(news.body.change) } }
    : news;

/** Takes it over into a cellar's history, once each, with the alarms that stand by it; tells how many were new. */
export const takeNewsOver = (sql: SqlStorage, items: readonly ArchivedNews[]): number => {
  let taken = 0;
  for (const { at, news } of items) {
    const inserted = sql
      .exec(
        'INSERT INTO news (id, at, body) VALUES (?, ?, ?) ON CONFLICT (id) DO NOTHING RETURNING seq',
        news.id,
        at,
        JSON.stringify(news),
      )
      .toArray();
    if (inserted.length === 0) continue;
    taken += 1;
    if (isOfVessel(news) && news.body.kind === 'alarm')
      standInSilence(sql, news.vessel, news.body.change.alarm, at);
  }
  return taken;
};

/** It stands as it stood, and calls nobody until its next step. */
const standInSilence = (sql: SqlStorage, vessel: string, alarm: Alarm, at: number): void => {
  standAlarm(sql, vessel, alarm, at);
  sql.exec(
    'UPDATE standing_alarm SET calls_since = NULL WHERE vessel = ? AND alarm = ?',
    vessel,
    alarm.alarm,
  );
};

export type ArchivedBody = { readonly at: number; readonly body: VesselNews['body'] };

/** The same into a vessel's own history. */
export const takeBodiesOver = (sql: SqlStorage, items: readonly ArchivedBody[]): void => {
  for (const { at, body } of items)
    sql.exec(
      `INSERT INTO news (at, body) SELECT ?1, ?2
        WHERE NOT EXISTS (SELECT 1 FROM news WHERE at = ?1 AND body = ?2)`,
      at,
      JSON.stringify(body),
    );
};
