/**
 * Whether Gyleward itself was away: a wake-up that comes much later than it was due was not late by
 * chance; nobody was there. From then back to the last sign of life no reading could be received, so
 * that silence over this span says nothing of a sensor. An absence that begins and ends between two
 * wake-ups leaves no such trace. Pure: no I/O, no clock.
 */

/** Unix seconds between which nobody was there, as far as rows can tell. */
export type Absence = { readonly from: number; readonly to: number };

/** The wake-up that was last asked for, with the moment of asking. Unix seconds. */
export type PlannedWakeUp = { readonly dueAt: number; readonly setAt: number };

/**
 * Chosen by us: the platform calls a wake-up up to a minute late during failover, and its retries
 * after an error take two minutes. Less would call those an absence, more would blame sensors for
 * ours.
 */
const lateSeconds = 300;

/** True where a wake-up is so late that somebody was away; asked before anything else is looked up. */
export const isLate = (planned: PlannedWakeUp | null, now: number): boolean =>
  planned !== null && now - planned.dueAt > lateSeconds;

export const absenceOf = (
  planned: PlannedWakeUp | null,
  lastReceipt: number | null,
  now: number,
): Absence | null =>
  planned === null || !isLate(planned, now)
    ? null
    : { from: Math.max(planned.setAt, lastReceipt ?? planned.setAt), to: now };
