/**
 * One call of the watch: new points, or none when the clock alone moved, become findings, and findings become
 * changes of alarms. Pure: no I/O, no clock, no randomness.
 */
import { standardAtmosphere } from '../science/gas-law.ts';
import { type Channel, channelNames } from '../science/units/channel.ts';
import type { AlarmChange, AlarmKind } from './alarms/alarm.ts';
import {
  type BoardStep,
  ended,
  send,
  settle,
  settleReading,
  unheeded,
} from './alarms/alarm-board.ts';
import { lapse } from './alarms/alarm-lapse.ts';
import { whyNot } from './applies.ts';
import { remember } from './course/channel-memory.ts';
import { type ChronicleRow, chronicle, heardIn } from './course/chronicle.ts';
import { fermentationStep } from './fermentation/fermentation-watch.ts';
import { sampleMark } from './fermentation/sample-mark.ts';
import type { Finding } from './finding.ts';
import { followed } from './follow.ts';
import { judgeOverPressure } from './pressure/over-pressure.ts';
import { pressureStep } from './pressure/pressure-watch.ts';
import { judgeMisreading } from './sensors/misreading-sensor.ts';
import { movedSensor } from './sensors/moved-sensor.ts';
import { sameness, samenessWithLate } from './sensors/sameness.ts';
import { judgeSilence } from './sensors/silent-sensor.ts';
import { canBeStuck, frozenSpan, judgeStuck } from './sensors/stuck-sensor.ts';
import { bandInForce, stageIn } from './stages/limits.ts';
import { stageHear } from './stages/stage-hear.ts';
import { endsWithStage } from './stages/stage-kinds.ts';
import { stageStep } from './stages/stage-watch.ts';
import { judgeTemperature } from './temperature/temperature-band.ts';
import { judgeTemperatureFall } from './temperature/temperature-fall.ts';
import type { Verdict } from './verdict.ts';
import type { WatchState } from './watch-state.ts';
import type { Happening, Point, Watched } from './watched.ts';

export const judge = (
  watched: Watched,
  before: WatchState,
  arrived: readonly Point[],
  now: number,
): Verdict => {
  const changes: AlarmChange[] = [];
  const happenings: Happening[] = [];
  let state = followed(watched, before);
  const take = (step: BoardStep | null): void => {
    if (step === null) return;
    state = { ...state, board: step.board };
    changes.push(...step.changes);
  };
  const heed = (finding: Finding | null, taking: typeof settle = settle): void => {
    if (finding === null || whyNot(finding.kind, watched) !== null) return;
    take(taking(state.board, finding, state.batch, now));
  };

  if (state.batch !== before.batch && before.batch !== null) {
    for (const [name, { alarm }] of Object.entries(state.board)) {
      // Pressure and air belong to the place, whatever is in it.
      if (staysWithPlace.has(alarm.kind)) continue;
      take(ended(state.board, name, `batch ${before.batch} has left the vessel`, now));
    }
  }
  withdraw(watched, () => state, take, now);
  if (state.batch === before.batch && state.stage !== before.stage) {
    for (const [name, { alarm }] of Object.entries(state.board)) {
      if (!endsWithStage.has(alarm.kind)) continue;
      take(ended(state.board, name, `the batch has moved on to the stage ${state.stage}`, now));
    }
  }

  const points = arrived.map(asGauge).sort((a, b) => a.time - b.time);
  for (const point of points) {
    const known = state.channels[point.channel];
    if (known?.time === point.time && known.value === point.value) continue;
    const late = known !== undefined && point.time < known.time;
    state = late ? steppedBack(state, point) : stepped(watched, state, point);
    heed(instant(watched, state, point, late ? [] : points), settleReading);
    if (late) continue;
    const run = state.sameness[point.channel];
    if (run !== undefined) heed(judgeStuck(point.channel, run));
  }
  const channels = { ...state.channels };
  for (const channel of channelNames) {
    const own = points.filter((point) => point.channel === channel);
    const memory = remember(channels[channel], own, now);
    if (memory !== undefined) channels[channel] = memory;
  }
  state = { ...state, channels };
  const stage = stageHear(watched, state, points, now);
  state = { ...state, stages: stage.memory };
  happenings.push(...stage.happenings);
  for (const finding of stage.findings) heed(finding, settleReading);
  take(lapse(state.board, now));
  const heard = new Set<Channel | null>(points.map(({ channel }) => channel));
  for (const finding of judgeSilence(watched, state.channels, now)) {
    // Only a reading ends a silence: a clock that is set back does not.
    if (finding.condition !== 'clear' || heard.has(finding.channel)) heed(finding);
  }

  const { rows } = state.chronicle;
  const written = chronicle(state.chronicle, points, now);
  state = { ...state, chronicle: written.chronicle };
  const { batch } = watched;
  const sampledAnew = batch !== null && sampleMark(batch) !== (state.fermentation.sampled ?? null);
  if ((written.closed || sampledAnew) && batch?.stage === 'fermentation') {
    const frozen = frozenSpan(state.sameness.gravity);
    const memory =
      frozen === null
        ? state.fermentation
        : { ...state.fermentation, frozen: joined(state.fermentation.frozen, frozen) };
    const step = fermentationStep(batch, state.chronicle, memory, now);
    for (const shift of step.memory.shifts) {
      if (!memory.shifts.some(([at]) => at === shift[0])) happenings.push(movedSensor(shift, now));
    }
    state = { ...state, fermentation: step.memory };
    happenings.push(...step.happenings);
    for (const finding of step.findings) heed(finding);
    const chronicled = state.chronicle.rows;
    if (bandInForce(watched) === null) {
      heed(judgeTemperatureFall(batch, chronicled, step.memory, now));
    }
    heed(judgeMisreading(batch, chronicled, step.memory.frozen, now));
  }
  // Whichever pack closes a bucket, what counts is whether pressure was heard in it.
  const heardPressure = (row: ChronicleRow): boolean =>
    !rows.includes(row) && heardIn(row, 'gauge-pressure') !== null;
  if (written.closed && state.chronicle.rows.some(heardPressure)) {
    const step = pressureStep(watched, state.chronicle, now);
    state = { ...state, pressure: step.memory };
    for (const finding of step.findings) heed(finding);
  }
  const step = stageStep(watched, state, now);
  state = { ...state, stages: step.memory };
  happenings.push(...step.happenings);
  for (const finding of step.findings) heed(finding);
  return { state, changes, happenings };
};

const staysWithPlace: ReadonlySet<AlarmKind> = new Set([
  'over-pressure',
  'air-danger',
  'air-short-term',
  'air-working-day',
  'low-oxygen',
]);

/**
 * Alarms that do not apply at the batch's stage are suppressed, and say why, until they apply again. Nothing that
 * does not apply waits for a delay.
 */
const withdraw = (
  watched: Watched,
  current: () => WatchState,
  take: (step: BoardStep | null) => void,
  now: number,
): void => {
  for (const [name, { alarm }] of Object.entries(current().board)) {
    const reason = whyNot(alarm.kind, watched);
    if (reason !== null) take(unheeded(current().board, name));
    if (watched.batch === null) continue;
    if (reason !== null && alarm.state !== 'normal') {
      const told = { at: now, by: null, note: reason };
      const setAside = { by: null, at: now, why: reason };
      take(send(current().board, name, 'suppress', told, (a) => ({ ...a, setAside })));
    } else if (reason === null && alarm.state === 'suppressed') {
      const told = { at: now, by: null, note: 'it applies again' };
      take(send(current().board, name, 'unsuppress', told, (a) => a));
    }
  }
};

/** Steps what is remembered of one reading that is newer than all before. */
const stepped = (watched: Watched, state: WatchState, point: Point): WatchState => {
  if (canBeStuck(point.channel)) {
    const run = sameness(state.sameness[point.channel], point.value, point.time);
    return { ...state, sameness: { ...state.sameness, [point.channel]: run } };
  }
  const band = bandInForce(watched);
  if (point.channel !== 'temperature' || band === null) return state;
  const out = point.value > band.highCelsius || point.value < band.lowCelsius;
  return { ...state, outOfBandSince: out ? (state.outOfBandSince ?? point.time) : null };
};

const steppedBack = (state: WatchState, { channel, value, time }: Point): WatchState => {
  const run = state.sameness[channel];
  return run === undefined
    ? state
    : { ...state, sameness: { ...state.sameness, [channel]: samenessWithLate(run, value, time) } };
};

/** What one reading says by itself. A late one comes without those that were read together with it. */
const instant = (
  watched: Watched,
  state: WatchState,
  { channel, value, time: at }: Point,
  together: readonly Point[],
): Finding | null => {
  const band = bandInForce(watched);
  const rated = watched.vessel.ratedGaugePressurePascal;
  if (channel === 'temperature' && band !== null) {
    return judgeTemperature(band, value, at, state.outOfBandSince, stageIn(watched));
  }
  if (channel === 'gauge-pressure' && rated !== null) {
    const memory = state.channels[channel];
    const late = memory !== undefined && at < memory.time;
    const earlier = together.filter((point) => point.channel === channel && point.time < at);
    // Nothing says whether a late reading leapt; another beside it has to say the same.
    const previous = late
      ? null
      : (earlier.at(-1)?.value ?? (memory?.time === at ? memory.previous : memory?.value) ?? null);
    const { gasConnected } = watched.vessel;
    return judgeOverPressure(
      value,
      previous,
      memory,
      { ratedGaugePressurePascal: rated, gasConnected },
      at,
    );
  }
  return null;
};

/**
 * An absolute gauge is taken to stand at sea level. Assumption: within 3 % up to 250 m.
 * Adding 0 turns a minus zero, which would not survive being kept as JSON, into a plain one.
 */
const asGauge = (point: Point): Point =>
  point.channel === 'absolute-pressure'
    ? { ...point, channel: 'gauge-pressure', value: point.value - standardAtmosphere }
    : { ...point, value: point.value + 0 };

/** Frozen spans kept; the latest grows while it lasts. */
const spansKept = 4;

const joined = (
  spans: readonly (readonly [number, number])[],
  span: readonly [number, number],
): readonly (readonly [number, number])[] => [
  ...spans.filter(([from]) => from !== span[0]).slice(1 - spansKept),
  span,
];
