/**
 * How long the readings of one alarm have disagreed with what it stands at, whatever the order in which they came.
 * A late reading takes its place by its time of measurement: it may break the run that a delay counts, or lengthen
 * it. What lies further back than the lateness window is settled. Pure: no I/O, no clock.
 */
import { latenessSeconds } from './chronicle.ts';

type Said = 'holds' | 'clear' | 'between';

/** A tuple, for the sake of its size as JSON: time of measurement, what it said, seconds of delay. */
export type Seen = readonly [at: number, said: Said, delaySeconds: number];

/** Readings kept. Chosen by us: the window at one a minute; faster sensors get a shorter window for it. */
const seenKept = 16;

export type DelayRun = {
  /** Unix seconds of the first reading of the run. */
  readonly since: number;
  readonly delaySeconds: number;
};

/** Takes in a reading; null where it comes too late to count. One of the same time is replaced. */
export const withSeen = (seen: readonly Seen[], one: Seen): readonly Seen[] | null => {
  const newest = seen.at(-1)?.[0] ?? Number.NEGATIVE_INFINITY;
  if (one[0] < newest - latenessSeconds) return null;
  const from = Math.max(newest, one[0]) - latenessSeconds;
  return [...seen.filter(([at]) => at >= from && at !== one[0]), one]
    .sort(([a], [b]) => a - b)
    .slice(-seenKept);
};

/**
 * The run of readings, up to the newest, that disagree with whether the condition is taken to hold; null where the
 * newest agrees. A run that fills what is kept goes on from where it began before.
 */
export const delayRun = (
  seen: readonly Seen[],
  holds: boolean,
  knownSince: number | null,
): DelayRun | null => {
  const contrary: Said = holds ? 'clear' : 'holds';
  const agreed = seen.findLastIndex(([, said]) => said !== contrary);
  const run = seen.slice(agreed + 1);
  const first = run[0];
  if (first === undefined) return null;
  const goesOn = agreed < 0 && knownSince !== null && knownSince < first[0];
  return {
    since: goesOn ? knownSince : first[0],
    // One reading that needs no confirming confirms the others.
    delaySeconds: Math.min(...run.map(([, , delay]) => delay)),
  };
};
