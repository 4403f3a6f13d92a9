/**
 * The platform's timer, derived from rows and never remembered: whoever touches an object computes
 * what is due next and calls this. A lost timer heals at the next touch.
 */
import { wakeUpMilliseconds } from './clock.ts';
import type { Env } from './env.ts';

/**
 * A timer that is overdue by more than this is set again: where the runtime was killed just then, the
 * object can remember a timer that nobody will call. Chosen by us: an ordinary one comes within
 * milliseconds, and to set one again for nothing costs a row.
 */
const overdueMilliseconds = 500;

/**
 * Makes sure that the object wakes up by `dueSeconds` (Unix seconds of cellar time).
 * A timer that is already set for an earlier moment is left alone: it fires, finds nothing due and
 * sets the next one, which costs one wake-up instead of one row written per reading. `plan` hears of
 * each timer that is set, before it is set, so that both are written together; null is told where no
 * timer is set and none is due.
 */
export const setWakeUp = async (
  storage: DurableObjectStorage,
  env: Env,
  dueSeconds: number | null,
  plan: (dueSeconds: number | null) => void = () => undefined,
): Promise<void> => {
  const set = await storage.getAlarm();
  if (dueSeconds === null) {
    if (set === null) plan(null);
    return;
  }
  const wanted = wakeUpMilliseconds(env, dueSeconds);
  if (set !== null && set <= wanted && set > Date.now() - overdueMilliseconds) return;
  plan(dueSeconds);
  await storage.setAlarm(wanted);
};

/** The earliest of several moments; null where there is none. */
export const earliest = (moments: readonly (number | null)[]): number | null => {
  const known = moments.filter((moment) => moment !== null);
  return known.length === 0 ? null : Math.min(...known);
};
