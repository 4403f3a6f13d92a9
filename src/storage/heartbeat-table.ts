/**
 * Heartbeats: a receiver hears at an interval that Gyleward is up, so that silence says something. A beat is
 * never queued and never tried twice, so that it stands in no alarm's way: the next one follows anyway.
 */

/** Seconds between beats; null where there are none. */
export const setHeartbeat = (
  sql: SqlStorage,
  receiver: string,
  everyMinutes: number | null,
): void => {
  sql.exec(
    'UPDATE receiver SET beat_minutes = ?, last_beat = NULL WHERE id = ?',
    everyMinutes,
    receiver,
  );
};

export type BeatDue = {
  readonly receiver: string;
  readonly everyMinutes: number;
  readonly due: number;
};

/** When each receiver that wants beats is next to hear one; one that asked for silence is left in peace. */
export const beatsDue = (sql: SqlStorage): readonly BeatDue[] =>
  sql
    .exec<{ receiver: string; everyMinutes: number; due: number }>(
      `SELECT id AS receiver, beat_minutes AS everyMinutes,
              max(held_until, coalesce(last_beat + beat_minutes * 60, 0)) AS due
         FROM receiver WHERE beat_minutes IS NOT NULL`,
    )
    .toArray();

export const markBeat = (sql: SqlStorage, receiver: string, outcome: string, at: number): void => {
  sql.exec(
    'UPDATE receiver SET last_beat = ?, last_outcome = ? WHERE id = ?',
    at,
    outcome,
    receiver,
  );
};

/** Alarms that call and that nobody has answered. */
export const unansweredCount = (sql: SqlStorage): number =>
  sql
    .exec<{ count: number }>(
      'SELECT count(*) AS count FROM standing_alarm WHERE calls_since IS NOT NULL',
    )
    .one().count;
