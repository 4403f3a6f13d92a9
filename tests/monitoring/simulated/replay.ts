/** Runs points through the watch as they arrive, with the clock running to the end in silence. */
import type { AlarmKind } from '../../../src/monitoring/alarms/alarm.ts';
import type { Verdict } from '../../../src/monitoring/verdict.ts';
import { beginWatch, judge, nextDue } from '../../../src/monitoring/watch.ts';
import type { Point, Watched } from '../../../src/monitoring/watched.ts';

export type Raised = {
  readonly kind: AlarmKind;
  readonly at: number;
  readonly evidence: string;
};

/** Each pack arrived together; the clock is the latest time seen so far. */
export const replayed = (
  watched: Watched,
  packs: readonly (readonly Point[])[],
  begins: number,
  ends: number,
  onVerdict?: (verdict: Verdict) => void,
): readonly Raised[] => {
  const raised: Raised[] = [];
  let now = begins;
  let state = beginWatch(watched, now);
  const take = (points: readonly Point[]): void => {
    const verdict = judge(watched, state, points, now);
    state = verdict.state;
    onVerdict?.(verdict);
    for (const { transition, at, alarm } of verdict.changes) {
      if (transition === 'raised') raised.push({ kind: alarm.kind, at, evidence: alarm.evidence });
    }
  };
  const runTo = (until: number): void => {
    for (;;) {
      const due = nextDue(watched, state, now);
      if (due === null || due > until) break;
      now = Math.max(now, due);
      take([]);
    }
    now = Math.max(now, until);
  };
  for (const pack of packs) {
    const time = pack[0]?.time;
    if (time === undefined) continue;
    if (time > now) runTo(time);
    take(pack);
  }
  runTo(ends);
  return raised;
};
