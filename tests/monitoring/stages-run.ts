/**
 * Plays a batch through the watch as the vessel's object does: readings as they arrive, and between them the clock
 * alone, which wakes the watch when it asks for it. Counts the wake-ups, so that none can run away unseen.
 */
import type { AlarmKind } from '../../src/monitoring/alarms/alarm.ts';
import type { Batch, Drink, Stage } from '../../src/monitoring/batch.ts';
import type { Vessel, VesselKind } from '../../src/monitoring/vessel.ts';
import { beginWatch, judge, nextDue, type WatchState } from '../../src/monitoring/watch.ts';
import type { Point, Watched } from '../../src/monitoring/watched.ts';

export const minute = 60;
export const hour = 3600;
export const day = 86_400;

/** A whole hour in the year 2027. */
export const start = 1_800_000_000;

export const vesselOf = (kind: VesselKind, change: Partial<Vessel> = {}): Vessel => ({
  vessel: 'north',
  title: 'North vessel',
  kind,
  volumeLitre: 200,
  headspaceLitre: 20,
  ratedGaugePressurePascal: null,
  reliefGaugePressurePascal: null,
  gasConnected: false,
  temperatureBand: null,
  ...change,
});

export const batchIn = (
  stage: Stage,
  drink: Drink = 'ale',
  change: Partial<Batch> = {},
): Batch => ({
  batch: 'harbour-ale-41',
  title: 'Harbour Ale, gyle 41',
  drink,
  stage,
  startedAt: start,
  endedAt: null,
  originalGravity: null,
  expectedTerminalGravity: null,
  attenuationLimit: null,
  temperatureBand: null,
  carbonationVolumes: null,
  ...change,
});

type Told = {
  readonly what: string;
  readonly at: number;
  readonly evidence: string;
  readonly kind: AlarmKind | null;
};

export type Played = {
  readonly told: Told[];
  state: WatchState;
  now: number;
  wakes: number;
};

/** One call of the watch at a moment. */
export const call = (played: Played, watched: Watched, points: readonly Point[], now: number) => {
  const verdict = judge(watched, played.state, points, now);
  played.state = verdict.state;
  played.now = Math.max(played.now, now);
  for (const { transition, at, alarm } of verdict.changes) {
    played.told.push({
      what: `${alarm.kind} ${transition}`,
      at,
      evidence: alarm.evidence,
      kind: alarm.kind,
    });
  }
  for (const { kind, at, words } of verdict.happenings) {
    played.told.push({ what: kind, at, evidence: words, kind: null });
  }
  return verdict;
};

/** A batch that is put into its vessel is judged once, with nothing read. */
export const begin = (watched: Watched): Played => {
  const played = { told: [], state: beginWatch(watched, start), now: start, wakes: 0 };
  call(played, watched, [], start);
  return played;
};

/** Lets the clock run, waking the watch whenever it asks for it. */
export const runTo = (played: Played, watched: Watched, until: number): void => {
  for (;;) {
    const due = nextDue(watched, played.state, played.now);
    if (due === null || due > until) break;
    played.wakes += 1;
    if (played.wakes > 10_000) throw new Error(`the watch asks without end, at ${played.now}`);
    call(played, watched, [], due);
  }
  played.now = Math.max(played.now, until);
};

/** Readings in order of time, each arriving when it is measured, and then the clock to so long after the start. */
export const play = (
  watched: Watched,
  points: readonly Point[],
  untilSeconds: number,
  played: Played = begin(watched),
): Played => {
  for (const point of points) {
    runTo(played, watched, point.time);
    call(played, watched, [point], point.time);
  }
  runTo(played, watched, start + untilSeconds);
  return played;
};

/** A channel's readings, `every` seconds from the start, by a function of the seconds since. */
export const readings = (
  channel: Point['channel'],
  every: number,
  from: number,
  until: number,
  value: (seconds: number) => number,
): readonly Point[] => {
  const points: Point[] = [];
  for (let seconds = from; seconds <= until; seconds += every) {
    points.push({ channel, time: start + seconds, value: value(seconds) });
  }
  return points;
};

/** What was told of alarms and happenings, without the sensors that fall silent when the readings end. */
export const heardOf = (played: Played): readonly string[] =>
  played.told.filter(({ kind }) => kind !== 'silent-sensor').map(({ what }) => what);

/** Seconds after the start at which something was first told; null if it was not. */
export const toldAt = (played: Played, what: string): number | null => {
  const found = played.told.find((one) => one.what === what);
  return found === undefined ? null : found.at - start;
};
