/**
 * One call of the watch: new points, or none when the clock alone moved, become findings, and findings become
 * changes of alarms. Pure: no I/O, no clock, no randomness.
 */
import { type Channel, channelNames } from '../science/units/channel.ts';
import type { AlarmChange } from './alarm.ts';
import { type BoardStep, ended, lapse, send, settle } from './alarm-board.ts';
import { whyNot } from './applies.ts';
import { remember } from './channel-memory.ts';
import { chronicle } from './chronicle.ts';
import { fermentationStep } from './fermentation-watch.ts';
import type { Finding } from './finding.ts';
import { followed } from './follow.ts';
import { judgeOverPressure } from './over-pressure.ts';
import { pressureStep } from './pressure-watch.ts';
import { sameness } from './sameness.ts';
import { judgeSilence } from './silent-sensor.ts';
import { canBeStuck, frozenSpan, judgeStuck } from './stuck-sensor.ts';
import { bandOf, judgeTemperature } from './temperature-band.ts';
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
  const heed = (finding: Finding | null): void => {
    if (finding === null || whyNot(finding.kind, watched) !== null) return;
    take(settle(state.board, finding, state.batch, now));
  };

  if (state.batch !== before.batch && before.batch !== null) {
    for (const [name, { alarm }] of Object.entries(state.board)) {
      // The pressure belongs to the vessel, whatever is in it.
      if (alarm.kind === 'over-pressure') continue;
      take(ended(state.board, name, `batch ${before.batch} has left the vessel`, now));
    }
  }
  for (const [name, { alarm }] of Object.entries(state.board)) {
    if (alarm.state === 'shelved' && alarm.shelvedUntil !== null && alarm.shelvedUntil <= now) {
      const bare = { at: now, by: null };
      take(send(state.board, name, 'unshelve', bare, (a) => ({ ...a, shelvedUntil: null })));
    }
  }

  const points = arrived.map(asGauge).sort((a, b) => a.time - b.time);
  for (const point of points) {
    const newest = state.channels[point.channel]?.time ?? Number.NEGATIVE_INFINITY;
    if (point.time < newest) continue;
    state = stepped(watched, state, point);
    heed(instant(watched, state, point.channel, point.value, point.time, points));
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
  take(lapse(state.board, now));
  for (const finding of judgeSilence(watched, state.channels, now)) heed(finding);

  const written = chronicle(state.chronicle, points, now);
  state = { ...state, chronicle: written.chronicle };
  if (written.closed && watched.batch !== null && watched.batch.stage === 'fermentation') {
    const banded = bandOf(watched) !== null;
    const frozen = frozenSpan(state.sameness.gravity);
    const memory =
      frozen === null
        ? state.fermentation
        : { ...state.fermentation, frozen: joined(state.fermentation.frozen, frozen) };
    const step = fermentationStep(watched.batch, state.chronicle, memory, banded, now);
    state = { ...state, fermentation: step.memory };
    happenings.push(...step.happenings);
    for (const finding of step.findings) heed(finding);
  }
  if (written.closed && points.some(({ channel }) => channel === 'gauge-pressure')) {
    const step = pressureStep(watched, state.chronicle, now);
    state = { ...state, pressure: step.memory };
    for (const finding of step.findings) heed(finding);
  }
  withdraw(watched, () => state, take, now);
  return { state, changes, happenings };
};

/** Alarms that do not apply at the batch's stage are suppressed, and say why, until they apply again. */
const withdraw = (
  watched: Watched,
  current: () => WatchState,
  take: (step: BoardStep | null) => void,
  now: number,
): void => {
  const bare = { at: now, by: null };
  if (watched.batch === null) return;
  for (const [name, { alarm }] of Object.entries(current().board)) {
    const reason = whyNot(alarm.kind, watched);
    if (reason !== null && alarm.state !== 'normal') {
      take(
        send(current().board, name, 'suppress', bare, (a) => ({
          ...a,
          evidence: `${a.evidence} Suppressed: ${reason}.`,
        })),
      );
    } else if (reason === null && alarm.state === 'suppressed') {
      take(send(current().board, name, 'unsuppress', bare, (a) => a));
    }
  }
};

/** Steps what is remembered of one reading that is newer than all before. */
const stepped = (watched: Watched, state: WatchState, point: Point): WatchState => {
  if (canBeStuck(point.channel)) {
    const run = sameness(state.sameness[point.channel], point.value, point.time);
    return { ...state, sameness: { ...state.sameness, [point.channel]: run } };
  }
  const band = bandOf(watched);
  if (point.channel !== 'temperature' || band === null) return state;
  const out = point.value > band.highCelsius || point.value < band.lowCelsius;
  return { ...state, outOfBandSince: out ? (state.outOfBandSince ?? point.time) : null };
};

/** What one reading says by itself. */
const instant = (
  watched: Watched,
  state: WatchState,
  channel: Channel,
  value: number,
  at: number,
  together: readonly Point[],
): Finding | null => {
  const band = bandOf(watched);
  const rated = watched.vessel.ratedGaugePressurePascal;
  if (channel === 'temperature' && band !== null) {
    return judgeTemperature(band, value, at, state.outOfBandSince);
  }
  if (channel === 'gauge-pressure' && rated !== null) {
    const memory = state.channels[channel];
    const earlier = together.filter((point) => point.channel === channel && point.time < at);
    const previous =
      earlier.at(-1)?.value ?? (memory?.time === at ? memory.previous : memory?.value) ?? null;
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

/** The pressure of the air, where an absolute gauge is read. Assumption: sea level, within 3 %. */
const standardAtmosphere = 101_325;

const asGauge = (point: Point): Point =>
  point.channel === 'absolute-pressure'
    ? { ...point, channel: 'gauge-pressure', value: point.value - standardAtmosphere }
    : point;

/** Frozen spans kept; the latest grows while it lasts. */
const spansKept = 4;

const joined = (
  spans: readonly (readonly [number, number])[],
  span: readonly [number, number],
): readonly (readonly [number, number])[] => [
  ...spans.filter(([from]) => from !== span[0]).slice(1 - spansKept),
  span,
];
