/**
 * Runs one record through the very watch that runs in the worker, causally: a row is known when it arrives, the
 * arrival of a row is the latest time seen so far, and the clock runs to the end of the record even in silence.
 * The listener hears each verdict, and the state at each tick. Pure: no I/O, no clock, no randomness.
 */
import type { Verdict } from '../../monitoring/verdict.ts';
import { beginWatch, judge, nextDue, type WatchState } from '../../monitoring/watch.ts';
import type { Point } from '../../monitoring/watched.ts';
import type { BacktestRecord } from './record.ts';

export type ReplayListener = {
  readonly onVerdict?: (verdict: Verdict, now: number) => void;
  readonly onTick?: (state: WatchState, now: number) => void;
};

/** Ticks at a steady pace, the first one pace after the start. */
export function* everySeconds(begins: number, seconds: number): Generator<number> {
  for (let at = begins + seconds; ; at += seconds) yield at;
}

/** Wake-ups at one moment before the watch is taken to ask for ever; a sound watch needs one or two. */
const mostWakeUps = 1000;

export const replay = (
  { watched, begins, ends, rows }: BacktestRecord,
  /** Unix seconds, rising. */
  ticks: Iterable<number>,
  { onVerdict, onTick }: ReplayListener,
): void => {
  let now = begins;
  let state = beginWatch(watched, now);
  let wakeUps = 0;
  const moments = ticks[Symbol.iterator]();
  const nextTick = (): number => {
    const next = moments.next();
    return next.done === true ? Number.POSITIVE_INFINITY : next.value;
  };
  let tickAt = nextTick();

  const take = (points: readonly Point[]): void => {
    const verdict = judge(watched, state, points, now);
    state = verdict.state;
    onVerdict?.(verdict, now);
  };
  /** Lets the clock run, waking the watch when it asks for it and ticking when a tick falls due. */
  const runTo = (until: number): void => {
    for (;;) {
      const due = nextDue(watched, state, now) ?? Number.POSITIVE_INFINITY;
      const next = Math.min(due, tickAt);
      if (next > until) break;
      wakeUps = next > now ? 0 : wakeUps + 1;
      if (wakeUps > mostWakeUps) throw new Error(`the watch asks to be woken at ${now} for ever`);
      // A due time that has passed is served at once; the clock never runs backwards.
      now = Math.max(now, next);
      if (due <= now) take([]);
      if (tickAt <= now) {
        onTick?.(state, now);
        tickAt = nextTick();
      }
    }
    now = Math.max(now, until);
  };

  for (const row of rows) {
    const time = row[0]?.time;
    if (time === undefined) continue;
    if (time > now) runTo(time);
    take(row);
  }
  // Ticks at the very end are heard too, also where the last row has brought the clock there already.
  runTo(Math.max(now, ends));
};
