/**
 * What a cellar keeps of its alarms: those that stand, and the history of all that was told. Rows that an older
 * Gyleward wrote are read in the present shape.
 */
import type { Alarm, AlarmChange } from '../monitoring/alarms/alarm.ts';
import type { ToldChange } from '../monitoring/alarms/alarm-figures.ts';
import type { FloodChange } from '../monitoring/alarms/flood.ts';
import { restoredAlarm, restoredChange } from '../monitoring/alarms/restored-alarm.ts';
import type { Happening } from '../monitoring/watched.ts';
import { isOfVessel, type News } from './news.ts';

export type StandingAlarm = Alarm & { readonly vessel: string };

export type HistoryEntry =
  | ({
      readonly vessel: string;
      readonly vesselTitle: string;
      readonly batch: string | null;
    } & (
      | ({ readonly kind: 'alarm' } & AlarmChange)
      | ({ readonly kind: 'happening' } & { readonly happening: Happening })
    ))
  | ({ readonly kind: 'flood' } & FloodChange);

/**
 * Every state but normal stands; also what is set aside, so that it can be found. While an alarm calls, the
 * row says since when it was known to (`now`), whatever it becomes meanwhile.
 */
export const standAlarm = (sql: SqlStorage, vessel: string, alarm: Alarm, now: number): void => {
  if (alarm.state === 'normal')
    sql.exec('DELETE FROM standing_alarm WHERE vessel = ? AND alarm = ?', vessel, alarm.alarm);
  else
    sql.exec(
      `INSERT INTO standing_alarm (vessel, alarm, body, calls_since) VALUES (?1, ?2, ?3, ?4)
         ON CONFLICT (vessel, alarm) DO UPDATE SET body = ?3,
           calls_since = CASE WHEN ?4 IS NULL THEN NULL ELSE coalesce(calls_since, ?4) END`,
      vessel,
      alarm.alarm,
      JSON.stringify(alarm),
      alarm.state === 'unacknowledged' ? now : null,
    );
};

/** Since when an alarm calls; null while it does not. */
export const callsSince = (sql: SqlStorage, vessel: string, alarm: string): number | null =>
  sql
    .exec<{ calls_since: number | null }>(
      'SELECT calls_since FROM standing_alarm WHERE vessel = ? AND alarm = ?',
      vessel,
      alarm,
    )
    .toArray()[0]?.calls_since ?? null;

export const standingAlarms = (sql: SqlStorage): readonly StandingAlarm[] =>
  sql
    .exec<{ vessel: string; body: string }>('SELECT vessel, body FROM standing_alarm')
    .toArray()
    .map((row) => ({ vessel: row.vessel, ...restoredAlarm(JSON.parse(row.body) as Alarm) }));

/** Newest first. */
export const recentHistory = (sql: SqlStorage, limit: number): readonly HistoryEntry[] =>
  sql
    .exec<{ body: string }>('SELECT body FROM news ORDER BY seq DESC LIMIT ?', limit)
    .toArray()
    .map((row) => entryOf(JSON.parse(row.body) as News));

/** Steps read for one set of figures. Chosen by us: a hundred a day for half a year, and a few MB at most. */
const stepsRead = 20_000;

export type ToldSpan = {
  /** Oldest first. */
  readonly changes: readonly ToldChange[];
  /** Unix seconds from which on nothing is left out. */
  readonly from: number;
};

/** The steps of alarms told since a moment, as many as are read at once. */
export const toldSince = (sql: SqlStorage, from: number): ToldSpan => {
  const changes: ToldChange[] = [];
  const rows = sql.exec<{ at: number; body: string }>(
    'SELECT at, body FROM news ORDER BY seq DESC LIMIT ?',
    stepsRead + 1,
  );
  let read = 0;
  for (const row of rows) {
    read += 1;
    if (row.at < from || read > stepsRead)
      return { changes: changes.reverse(), from: Math.max(from, read > stepsRead ? row.at : from) };
    const news = JSON.parse(row.body) as News;
    if (news.body.kind === 'alarm' && isOfVessel(news))
      changes.push({ vessel: news.vessel, ...restoredChange(news.body.change) });
  }
  return { changes: changes.reverse(), from };
};

const entryOf = (news: News): HistoryEntry => {
  if (!isOfVessel(news)) return { kind: 'flood', ...news.body.change };
  const { vessel, vesselTitle, batch, body } = news;
  return body.kind === 'alarm'
    ? { vessel, vesselTitle, batch, kind: 'alarm', ...restoredChange(body.change) }
    : { vessel, vesselTitle, batch, kind: 'happening', happening: body.happening };
};
