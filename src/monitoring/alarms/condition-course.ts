/**
 * Whether a condition holds, told from what its readings said and from nothing else: on-delay, off-delay and deadband
 * are replayed over the readings of the lateness window in order of measurement, so that the order in which they
 * arrived does not matter. What lies further back is settled. Pure: no I/O, no clock.
 */
import { latenessSeconds } from '../course/chronicle.ts';

/**
 * A tuple, for the sake of its size as JSON: time of measurement, what it said, seconds of its delay, and how long
 * after that the clock alone waits for readings that are under way.
 */
export type Seen = readonly [
  at: number,
  said: 'holds' | 'clear' | 'between',
  delaySeconds: number,
  patienceSeconds: number,
];

/** How the condition stood at a moment. */
export type Stood = {
  readonly holds: boolean;
  /** Unix seconds since which the readings have disagreed with `holds`; null while they agree. */
  readonly since: number | null;
  /** Least delay of the readings of that run: one that needs no confirming confirms the others. */
  readonly delaySeconds: number;
  readonly patienceSeconds: number;
};

/** `holds` turned, for readings that had disagreed since. */
export type Turn = {
  readonly holds: boolean;
  /** Null where no reading says since when. */
  readonly since: number | null;
};

export type Course = {
  /** Before the readings that are kept. */
  readonly stood: Stood;
  /** In order of measurement. */
  readonly seen: readonly Seen[];
};

/** Readings kept. Chosen by us: the window at one a minute; faster sensors get a shorter window for it. */
const seenKept = 16;

export const emptyCourse = (holds: boolean): Course => ({
  stood: agreeing(holds),
  seen: [],
});

const agreeing = (holds: boolean): Stood => ({
  holds,
  since: null,
  delaySeconds: 0,
  patienceSeconds: 0,
});

/**
 * Takes in a reading, and settles what it moves out of the window: `settled` counts the turns in that. Null where the
 * reading comes too late to count. One of the same time is replaced.
 */
export const withReading = (
  { stood, seen }: Course,
  one: Seen,
  heldSeconds: number,
): { readonly course: Course; readonly settled: number } | null => {
  const newest = Math.max(seen.at(-1)?.[0] ?? one[0], one[0]);
  const oldest = newest - latenessSeconds;
  if (one[0] < oldest) return null;
  const all = [...seen.filter(([at]) => at !== one[0]), one].sort(([a], [b]) => a - b);
  const from = Math.max(
    0,
    all.length - seenKept,
    all.findIndex(([at]) => at >= oldest),
  );
  const past = replayed({ stood, seen: all.slice(0, from) }, heldSeconds, Number.NEGATIVE_INFINITY);
  return { course: { stood: past.stood, seen: all.slice(from) }, settled: past.turns.length };
};

/**
 * How the condition stands by the newest reading, or by the clock at `until` where that is later, and how it turned on
 * the way there. A chattering alarm is held for at least `heldSeconds`.
 */
export const replayed = (
  { stood: before, seen }: Course,
  heldSeconds: number,
  until: number,
): { readonly stood: Stood; readonly turns: readonly Turn[] } => {
  const turns: Turn[] = [];
  let stood = before;
  const turn = (since: number): void => {
    stood = agreeing(!stood.holds);
    turns.push({ holds: stood.holds, since });
  };
  for (const [at, said, delay, patience] of seen) {
    if (stood.since !== null && turnsByClockAt(stood, heldSeconds) <= at) turn(stood.since);
    if (said !== (stood.holds ? 'clear' : 'holds')) {
      stood = { ...stood, since: null };
      continue;
    }
    stood =
      stood.since === null
        ? { ...stood, since: at, delaySeconds: delay, patienceSeconds: patience }
        : {
            ...stood,
            delaySeconds: Math.min(stood.delaySeconds, delay),
            patienceSeconds: Math.min(stood.patienceSeconds, patience),
          };
    if (stood.since !== null && at >= overAt(stood, heldSeconds)) turn(stood.since);
  }
  if (stood.since !== null && turnsByClockAt(stood, heldSeconds) <= until) turn(stood.since);
  return { stood, turns };
};

/** Unix seconds at which a reading that still disagrees ends the delay. */
const overAt = ({ holds, since, delaySeconds }: Stood, heldSeconds: number): number =>
  (since ?? Number.POSITIVE_INFINITY) +
  (holds ? Math.max(delaySeconds, heldSeconds) : delaySeconds);

/** Unix seconds at which the clock alone ends it, if no reading comes. */
export const turnsByClockAt = (stood: Stood, heldSeconds: number): number =>
  overAt(stood, heldSeconds) + stood.patienceSeconds;
