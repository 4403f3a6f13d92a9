/**
 * Readings of one channel folded one by one in order of time, with the newest kept open, so that a reading that
 * arrives a little late still takes its place: any order of arrival within the window ends in the same state.
 * A reading later than that is left to storage. Plain JSON of bounded size. Pure: no I/O, no clock.
 */

export type Reading = { readonly time: number; readonly value: number };

export type Course<S> = {
  /** What the settled readings come to; null while all are open. */
  readonly settled: S | null;
  /** Time of the newest settled reading. */
  readonly settledAt: number | null;
  /** Newer readings in order of time. */
  readonly open: readonly Reading[];
};

export type Fold<S> = {
  readonly begin: (first: Reading) => S;
  readonly extend: (before: S, reading: Reading) => S;
};

/** How long a reading may be late. Chosen by us: as long as the chronicle waits. */
const latenessSeconds = 900;

/** Readings kept open at most. Chosen by us: a reading a half-minute fills the window; more often shortens it. */
const openKept = 30;

export const emptyCourse = { settled: null, settledAt: null, open: [] } as const;

/** Takes readings in any order; of two at one time the later to arrive stands. */
export const taken = <S>(
  course: Course<S>,
  readings: readonly Reading[],
  fold: Fold<S>,
): Course<S> => {
  const byTime = new Map(course.open.map((reading) => [reading.time, reading.value]));
  const { settledAt } = course;
  for (const { time, value } of readings) {
    if (settledAt === null || time > settledAt) byTime.set(time, value);
  }
  const ordered = [...byTime]
    .sort(([one], [other]) => one - other)
    .map(([time, value]) => ({ time, value }));
  const newest = ordered.at(-1)?.time;
  if (newest === undefined) return course;
  const due = ordered.filter(({ time }) => time <= newest - latenessSeconds).length;
  const count = Math.max(due, ordered.length - openKept);
  const settling = ordered.slice(0, count);
  return {
    settled: folded(course.settled, settling, fold),
    settledAt: settling.at(-1)?.time ?? settledAt,
    open: ordered.slice(count),
  };
};

/** What all readings come to; null while there is none. */
export const standing = <S>(course: Course<S>, fold: Fold<S>): S | null =>
  folded(course.settled, course.open, fold);

const folded = <S>(before: S | null, readings: readonly Reading[], fold: Fold<S>): S | null =>
  readings.reduce<S | null>(
    (state, reading) => (state === null ? fold.begin(reading) : fold.extend(state, reading)),
    before,
  );
