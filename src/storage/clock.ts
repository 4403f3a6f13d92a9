/**
 * The one place where the house learns the time. Everything below takes `now` as an argument.
 * With a bound CLOCK (demo, tests) cellar time is driven from outside; without one it is real time.
 */
import type { Env } from './env.ts';

/** Unix seconds of cellar time. */
export const cellarNow = async (env: Env): Promise<number> => {
  if (env.CLOCK === undefined) return Date.now() / 1000;
  const answer = await env.CLOCK.fetch('http://clock/');
  return Number(await answer.text());
};

/**
 * True where the one who drives the clock means its leaps, so that a wake-up that comes late says
 * nothing. Real time, and a driven clock that stands in for it, leaps only when a machine slept, was
 * switched off, or had its clock set.
 */
export const leapsAreMeant = (env: Env): boolean =>
  env.CLOCK !== undefined && env.CLOCK_LEAPS !== 'unforeseen';

/**
 * How often an object with something due looks at a driven clock, in milliseconds of real time.
 * Chosen by us: short enough that two weeks in a minute keep wake-ups within an hour of cellar time.
 */
const drivenClockLookMilliseconds = 25;

/**
 * Real milliseconds at which the platform's timer must fire for a moment of cellar time. A moment that is
 * past is due at once; the platform takes no time of 0, which is how "at once" stands in a row.
 */
export const wakeUpMilliseconds = (env: Env, dueSeconds: number): number =>
  env.CLOCK === undefined
    ? Math.max(dueSeconds * 1000, Date.now())
    : Date.now() + drivenClockLookMilliseconds;
