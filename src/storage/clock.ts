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
 * How often an object with something due looks at a driven clock, in milliseconds of real time.
 * Chosen by us: short enough that two weeks in a minute keep wake-ups within an hour of cellar time.
 */
const drivenClockLookMilliseconds = 25;

/** Real milliseconds at which the platform's timer must fire for a moment of cellar time. */
export const wakeUpMilliseconds = (env: Env, dueSeconds: number): number =>
  env.CLOCK === undefined ? dueSeconds * 1000 : Date.now() + drivenClockLookMilliseconds;
