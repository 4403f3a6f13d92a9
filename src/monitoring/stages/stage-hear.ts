/**
 * How a stage takes in what is read: it is entered, its courses grow, and single readings speak for themselves, late
 * ones too. What the clock makes of it is in stage-watch.ts. Pure: no I/O, no clock, no randomness.
 */
import type { Channel } from '../../science/units/channel.ts';
import { usualGap } from '../course/channel-memory.ts';
import type { Finding } from '../finding.ts';
import type { WatchState } from '../watch-state.ts';
import type { Happening, Point, Watched } from '../watched.ts';
import { drawnEarly } from './ageing.ts';
import { boilingBounds } from './boil.ts';
import { steepFold } from './cold-steep.ts';
import { type Fold, type Reading, taken } from './course.ts';
import { exposureFold } from './exposure.ts';
import { bandInForce, limitOf, stageIn } from './limits.ts';
import { overshoot } from './mash-rest.ts';
import { judgePressureBand } from './pressure-band.ts';
import { heardPressure } from './relief-chatter.ts';
import { beginStage, type StageMemory } from './stage-memory.ts';
import type { StageView } from './stage-view.ts';
import { type TimeInBand, timeInBand } from './time-in-band.ts';
import { judgeVent } from './vent.ts';
import { dangerousAir, lowOxygen } from './workroom.ts';

export type StageHeard = {
  readonly memory: StageMemory;
  /** What single readings say by themselves. */
  readonly findings: readonly Finding[];
  readonly happenings: readonly Happening[];
};

/** `points` are what came with this call, by time. */
export const stageHear = (
  watched: Watched,
  state: WatchState,
  points: readonly Point[],
  now: number,
): StageHeard => {
  const before = state.stages;
  const begun = entered(watched, state, now);
  const early =
    begun !== before && before.oldEnoughAt !== null && now < before.oldEnoughAt
      ? [drawnEarly(before.oldEnoughAt, now)]
      : [];
  if (points.length === 0) return { memory: begun, findings: [], happenings: early };
  const carbonDioxide = readingsOf(points, 'carbon-dioxide');
  const findings: (Finding | null)[] = [
    ...carbonDioxide.map((reading) => dangerousAir(watched, reading)),
    ...readingsOf(points, 'oxygen').map((reading) => lowOxygen(watched, reading)),
  ];
  let memory: StageMemory = { ...begun, air: taken(begun.air, carbonDioxide, exposureFold) };
  const view = viewOf(watched, state, memory, now);
  if (view !== null) {
    const temperatures = since(readingsOf(points, 'temperature'), view);
    const pressures = since(readingsOf(points, 'gauge-pressure'), view);
    memory = withPressures(view, withTemperatures(watched, memory, temperatures), pressures);
    if (view.stage === 'mash-rest') {
      findings.push(...temperatures.map((reading) => overshoot(view, reading)));
    }
    for (const reading of pressures) {
      findings.push(judgePressureBand(view, reading));
      if (hasVent(view)) findings.push(judgeVent(view, memory.vented, reading));
    }
  }
  return {
    memory: { ...memory, newest: newestOf(memory.newest, points) },
    findings: findings.filter((finding) => finding !== null),
    happenings: early,
  };
};

/** The memory of the stage that the batch is in; begun afresh where it is another. */
export const entered = (
  watched: Watched,
  { stages: before, channels }: WatchState,
  now: number,
): StageMemory => {
  const { batch } = watched;
  const stage = stageIn(watched);
  const name = batch?.batch ?? null;
  const same = name === before.batch && stage === before.stage;
  if (same && (batch?.stageStartedAt ?? before.since) === before.since) return before;
  const begun = { ...beginStage(watched), air: before.air };
  // Where nobody noted when a batch moved on, it is when that was first seen.
  const moved = name !== null && name === before.batch && batch?.stageStartedAt === undefined;
  const fresh = moved ? { ...begun, since: now } : begun;
  const last = channels.temperature;
  // What was read just before still holds when a batch moves on; another batch is another drink.
  return batch === null || last === undefined || !speaks(last.time, fresh.since, batch.startedAt)
    ? fresh
    : withTemperatures(watched, fresh, [
        { time: Math.max(fresh.since, last.time), value: last.value },
      ]);
};

/** A reading from up to so long before a stage still speaks of its begin. Chosen by us. */
const speaksSeconds = 3600;

const speaks = (time: number, began: number, startedAt: number): boolean =>
  time >= Math.max(startedAt, began - speaksSeconds);

export const viewOf = (
  watched: Watched,
  state: WatchState,
  { stage, since: began }: StageMemory,
  now: number,
): StageView | null => {
  const { batch } = watched;
  if (batch === null || stage === null) return null;
  return {
    watched,
    batch,
    stage,
    since: began,
    now: Math.max(now, began),
    newest: (channel: Channel): Reading | null => {
      const memory = state.channels[channel];
      return memory === undefined || !speaks(memory.time, began, batch.startedAt)
        ? null
        : { time: memory.time, value: memory.value };
    },
    usualGap: (channel: Channel): number | null => {
      const memory = state.channels[channel];
      return memory === undefined ? null : usualGap(memory);
    },
    rows: state.chronicle.rows,
    phase: state.fermentation.phase,
    pressure: state.pressure,
  };
};

/** The band whose time is counted in this stage; null where none is. */
export const inBandFold = (
  watched: Watched,
  { stage, since: began }: StageMemory,
): Fold<TimeInBand> | null => {
  if (stage === 'boil') return timeInBand(boilingBounds(watched), began);
  const band = stage === 'mash-rest' ? bandInForce(watched) : null;
  return band === null ? null : timeInBand({ low: band.lowCelsius, high: band.highCelsius }, began);
};

const withTemperatures = (
  watched: Watched,
  memory: StageMemory,
  readings: readonly Reading[],
): StageMemory => {
  const { stage } = memory;
  const fold = inBandFold(watched, memory);
  const pitch =
    stage === 'cooling' || stage === 'fermentation'
      ? limitOf(watched, stage, 'pitchCelsius')
      : null;
  return {
    ...memory,
    inBand: fold === null ? memory.inBand : taken(memory.inBand, readings, fold),
    steep:
      stage === 'cold-steep'
        ? taken(memory.steep, readings, steepFold(memory.since))
        : memory.steep,
    cool: memory.cool || (pitch !== null && readings.some(({ value }) => value <= pitch)),
  };
};

const isClosedStage = ({ stage }: StageView): boolean =>
  stage === 'conditioning' || stage === 'keg';

const hasVent = (view: StageView): boolean => view.stage === 'fermentation' || isClosedStage(view);

/** What remembers an order takes only readings that are newer than all before. */
const withPressures = (
  view: StageView,
  memory: StageMemory,
  readings: readonly Reading[],
): StageMemory => {
  if (!isClosedStage(view)) return memory;
  let { chatter } = memory;
  const known = memory.newest['gauge-pressure'] ?? Number.MIN_SAFE_INTEGER;
  for (const reading of readings) {
    if (reading.time <= known) continue;
    chatter = heardPressure(chatter, view, reading);
  }
  return { ...memory, chatter };
};

const readingsOf = (points: readonly Point[], channel: Channel): readonly Reading[] =>
  points.flatMap((point) =>
    point.channel === channel ? [{ time: point.time, value: point.value }] : [],
  );

/** Those since the stage began. */
const since = (readings: readonly Reading[], view: StageView): readonly Reading[] =>
  readings.filter(({ time }) => time >= view.since);

const newestOf = (
  before: StageMemory['newest'],
  points: readonly Point[],
): StageMemory['newest'] => {
  const newest = { ...before };
  for (const { channel, time } of points) {
    newest[channel] = Math.max(newest[channel] ?? time, time);
  }
  return newest;
};
