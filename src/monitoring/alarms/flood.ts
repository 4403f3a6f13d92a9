/**
 * Alarm flood of a cellar: more alarms than a person can take in. It begins with more than ten alarms in any ten
 * minutes and ends with fewer than five, as ISA-18.2 is quoted with (seen second-hand). It is said once when it
 * begins, and summed up once when it is over; every alarm is still told by itself.
 * Pure: no I/O, no clock, no randomness; the state is JSON of bounded size.
 */
import type { Alarm, AlarmChange, AlarmKind } from './alarm.ts';

export const floodWindowSeconds = 600;

const beginsAbove = 10;
const endsBelow = 5;

/** Vessels counted by name. Chosen by us: a summary of more is no clearer, and the state stays small. */
const vesselsCounted = 200;

export type Flood = {
  /** Unix seconds at which the eleventh alarm came. */
  readonly since: number;
  /** Alarms, those that made it a flood included. */
  readonly count: number;
  /** Most alarms in any ten minutes so far. */
  readonly peak: number;
  readonly vessels: readonly string[];
  readonly kinds: Readonly<Partial<Record<AlarmKind, number>>>;
};

type Called = { readonly at: number; readonly vessel: string; readonly kind: AlarmKind };

export type FloodWatch = {
  /** Alarms of the last ten minutes, oldest first. */
  readonly recent: readonly Called[];
  /** Null while there is none. */
  readonly flood: Flood | null;
};

export type FloodChange = {
  readonly transition: 'began' | 'ended';
  /** Unix seconds. */
  readonly at: number;
  readonly flood: Flood;
};

export type FloodStep = { readonly watch: FloodWatch; readonly changes: readonly FloodChange[] };

export const noFlood: FloodWatch = { recent: [], flood: null };

/** Whether a step of an alarm calls a person: it is raised, more urgent, asks again, or is back unanswered. */
export const calls = ({ alarm }: { readonly alarm: Pick<Alarm, 'state'> }): boolean =>
  alarm.state === 'unacknowledged';

/** Takes one step of an alarm at the moment at which it is told. Moments never run backwards. */
export const floodAfter = (
  before: FloodWatch,
  vessel: string,
  change: Pick<AlarmChange, 'alarm'>,
  now: number,
): FloodStep => {
  // An alarm at the very moment at which the flood would end keeps it going.
  const { watch, changes } =
    floodEndsAt(before) === now ? { watch: before, changes: [] } : floodAt(before, now);
  if (!calls(change)) return { watch, changes };
  const called = { at: now, vessel, kind: change.alarm.kind };
  const recent = [...within(watch.recent, now), called];
  if (watch.flood !== null)
    return {
      watch: { recent: newest(recent), flood: grown(watch.flood, called, recent.length) },
      changes,
    };
  if (recent.length <= beginsAbove) return { watch: { recent, flood: null }, changes };
  const flood = recent.reduce((sum, one) => grown(sum, one, recent.length), begun(now));
  return {
    watch: { recent: newest(recent), flood },
    changes: [...changes, { transition: 'began', at: now, flood }],
  };
};

/** Lets the clock run: a flood that has run dry by `now` ends, at the moment at which it did. */
export const floodAt = (before: FloodWatch, now: number): FloodStep => {
  const endsAt = floodEndsAt(before);
  if (before.flood === null || endsAt === null || endsAt > now)
    return { watch: before, changes: [] };
  return {
    watch: { recent: within(before.recent, now), flood: null },
    changes: [{ transition: 'ended', at: endsAt, flood: before.flood }],
  };
};

/** Unix seconds at which the flood ends if no alarm comes; null while there is none. */
export const floodEndsAt = ({ recent, flood }: FloodWatch): number | null =>
  flood === null ? null : (recent.at(-endsBelow)?.at ?? flood.since) + floodWindowSeconds;

const within = (recent: readonly Called[], now: number): readonly Called[] =>
  recent.filter(({ at }) => at > now - floodWindowSeconds);

/** Alarms remembered in a flood. Chosen by us: the peak is not counted beyond it. */
const recentKept = 500;

const newest = (recent: readonly Called[]): readonly Called[] => recent.slice(-recentKept);

const begun = (since: number): Flood => ({ since, count: 0, peak: 0, vessels: [], kinds: {} });

const grown = (flood: Flood, { vessel, kind }: Called, inWindow: number): Flood => ({
  ...flood,
  count: flood.count + 1,
  peak: Math.max(flood.peak, inWindow),
  vessels:
    flood.vessels.includes(vessel) || flood.vessels.length >= vesselsCounted
      ? flood.vessels
      : [...flood.vessels, vessel],
  kinds: { ...flood.kinds, [kind]: (flood.kinds[kind] ?? 0) + 1 },
});
