/**
 * Who was called about which alarm that nobody has answered. Derived from rows: the standing alarms say since
 * when each calls, the receivers' duties say when each is due, and what was told is kept, so that a restart
 * forgets nobody and tells nobody twice.
 */
import type { Alarm } from '../monitoring/alarms/alarm.ts';
import { callDueAt, type Duty, isUnconditional } from '../monitoring/alarms/duty.ts';
import { restoredAlarm } from '../monitoring/alarms/restored-alarm.ts';
import { dutiesOf } from './receiver-table.ts';

/** An alarm that calls: told, unanswered, its condition still there. */
type Calling = { readonly vessel: string; readonly alarm: Alarm; readonly since: number };

export type Call = Calling & { readonly receiver: string; readonly due: number };

const callingAlarms = (sql: SqlStorage): readonly Calling[] =>
  sql
    .exec<{ vessel: string; body: string; calls_since: number }>(
      'SELECT vessel, body, calls_since FROM standing_alarm WHERE calls_since IS NOT NULL',
    )
    .toArray()
    .map((row) => ({
      vessel: row.vessel,
      alarm: restoredAlarm(JSON.parse(row.body) as Alarm),
      since: row.calls_since,
    }));

/** Of which call a receiver was told last since the alarm was normal, by when that began; null if of none. */
export const calledSince = (
  sql: SqlStorage,
  receiver: string,
  vessel: string,
  alarm: string,
): number | null =>
  sql
    .exec<{ since: number }>(
      'SELECT since FROM called WHERE receiver = ? AND vessel = ? AND alarm = ?',
      receiver,
      vessel,
      alarm,
    )
    .toArray()[0]?.since ?? null;

export const markCalled = (
  sql: SqlStorage,
  receiver: string,
  { vessel, alarm, since }: { vessel: string; alarm: string; since: number },
): void => {
  sql.exec(
    `INSERT INTO called (receiver, vessel, alarm, since) VALUES (?1, ?2, ?3, ?4)
       ON CONFLICT (receiver, vessel, alarm) DO UPDATE SET since = ?4`,
    receiver,
    vessel,
    alarm,
    since,
  );
};

/** An alarm that is over is forgotten: the next time it calls anew. */
export const forgetCalls = (sql: SqlStorage, vessel: string, alarm: string): void => {
  sql.exec('DELETE FROM called WHERE vessel = ? AND alarm = ?', vessel, alarm);
};

/**
 * Takes what a receiver was told of at once as told, where it is given conditions from here on; else it
 * would be told again.
 */
export const markStandingAsCalled = (sql: SqlStorage, receiver: string, before: Duty): void => {
  if (!isUnconditional(before)) return;
  for (const { vessel, alarm, since } of callingAlarms(sql))
    if (callDueAt(before, { vessel, priority: alarm.priority, since }) !== null)
      markCalled(sql, receiver, { vessel, alarm: alarm.alarm, since });
};

/** Every call that is still to be made, now or later, if nobody answers first. */
export const callsOwed = (sql: SqlStorage): readonly Call[] => {
  const duties = dutiesOf(sql).filter(({ duty }) => !isUnconditional(duty));
  if (duties.length === 0) return [];
  const calling = callingAlarms(sql);
  const told = new Set(
    sql
      .exec<{ receiver: string; vessel: string; alarm: string; since: number }>(
        'SELECT receiver, vessel, alarm, since FROM called',
      )
      .toArray()
      .map((row) => JSON.stringify([row.receiver, row.vessel, row.alarm, row.since])),
  );
  return duties.flatMap(({ id, duty }) =>
    calling.flatMap(({ vessel, alarm, since }) => {
      if (told.has(JSON.stringify([id, vessel, alarm.alarm, since]))) return [];
      const due = callDueAt(duty, { vessel, priority: alarm.priority, since });
      return due === null ? [] : [{ receiver: id, vessel, alarm, since, due }];
    }),
  );
};
