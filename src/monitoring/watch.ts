/**
 * The watch over one vessel: the one door through which storage asks monitoring to judge.
 * Pure: no I/O, no clock, no randomness; the state is JSON of bounded size.
 */
import { type Channel, channelNames, channels } from '../science/units/channel.ts';
import type { AlarmChange, AlarmState, Priority } from './alarm.ts';
import { type Board, type BoardStep, send, settle } from './alarm-board.ts';
import { whyNot } from './applies.ts';
import { type ChannelMemory, remember } from './channel-memory.ts';
import type { Finding } from './finding.ts';
import { judgeOverPressure } from './over-pressure.ts';
import { judgeSilence, silentFrom } from './silent-sensor.ts';
import type { Estimate, LatestReading, Status } from './status.ts';
import { judgeTemperature } from './temperature-band.ts';
import type { Verdict } from './verdict.ts';
import { beginWatch, type WatchState } from './watch-state.ts';
import type { Point, Watched } from './watched.ts';

export { type Act, type ActFault, act } from './act.ts';
export type { Verdict } from './verdict.ts';
export { beginWatch, type WatchState } from './watch-state.ts';

export const judge = (
  watched: Watched,
  before: WatchState,
  points: readonly Point[],
  now: number,
): Verdict => {
  let state = before;
  const changes: AlarmChange[] = [];
  const take = (step: BoardStep | null): void => {
    if (step === null) return;
    state = { ...state, board: step.board };
    changes.push(...step.changes);
  };
  const batch = watched.batch?.batch ?? null;
  if (batch !== state.batch) {
    state = { ...beginWatch(watched, now), board: state.board };
  }
  for (const [name, { alarm }] of Object.entries(state.board)) {
    if (alarm.state === 'shelved' && alarm.shelvedUntil !== null && alarm.shelvedUntil <= now) {
      take(
        send(state.board, name, 'unshelve', { at: now, by: null }, (shelved) => ({
          ...shelved,
          shelvedUntil: null,
        })),
      );
    }
  }
  const sorted = [...points].sort((a, b) => a.time - b.time);
  const memories: Partial<Record<Channel, ChannelMemory>> = { ...state.channels };
  for (const point of sorted) {
    const ahead = point.time >= (memories[point.channel]?.time ?? Number.NEGATIVE_INFINITY);
    if (!ahead) continue;
    state = track(watched, state, point);
    for (const finding of instant(watched, state, point.channel, point.value, point.time)) {
      take(settle(state.board, finding, batch, now));
    }
  }
  for (const channel of channelNames) {
    const arrived = sorted.filter((point) => point.channel === channel);
    const memory = remember(memories[channel], arrived, now);
    if (memory === undefined) continue;
    memories[channel] = memory;
    for (const finding of instant(watched, state, channel, memory.value, now)) {
      take(settle(state.board, finding, batch, now));
    }
    if (whyNot('silent-sensor', watched) === null) {
      const finding = judgeSilence(channel, memory, silencePriority(watched, channel), now);
      if (finding !== null) take(settle(state.board, finding, batch, now));
    }
  }
  state = { ...state, channels: memories, stage: watched.batch?.stage ?? null };
  for (const [name, { alarm }] of Object.entries(state.board)) {
    const reason = whyNot(alarm.kind, watched);
    const told = { at: now, by: null };
    if (reason !== null && visible.has(alarm.state)) {
      take(
        send(state.board, name, 'suppress', told, (hidden) => ({
          ...hidden,
          evidence: `${hidden.evidence} Suppressed: ${reason}.`,
        })),
      );
    } else if (reason === null && alarm.state === 'suppressed') {
      take(send(state.board, name, 'unsuppress', told, (shown) => shown));
    }
  }
  return { state, changes, happenings: [] };
};

const visible = new Set<AlarmState>(['unacknowledged', 'acknowledged', 'returned-unacknowledged']);

const bandOf = ({ vessel, batch }: Watched) => batch?.temperatureBand ?? vessel.temperatureBand;

const track = (watched: Watched, state: WatchState, point: Point): WatchState => {
  const band = bandOf(watched);
  if (point.channel !== 'temperature' || band === null) return state;
  const out = point.value > band.highCelsius || point.value < band.lowCelsius;
  return { ...state, outOfBandSince: out ? (state.outOfBandSince ?? point.time) : null };
};

const instant = (
  watched: Watched,
  state: WatchState,
  channel: Channel,
  value: number,
  at: number,
): readonly Finding[] => {
  const band = bandOf(watched);
  const rated = watched.vessel.ratedGaugePressurePascal;
  if (channel === 'temperature' && band !== null && whyNot('temperature', watched) === null) {
    return [judgeTemperature(band, value, at, state.outOfBandSince)];
  }
  if (channel === 'gauge-pressure' && rated !== null) return [judgeOverPressure(value, rated, at)];
  return [];
};

/** Low, since nothing is in danger; medium where the channel guards people, for then the watch is blind. */
const silencePriority = ({ vessel }: Watched, channel: Channel): Priority => {
  if (channel === 'gauge-pressure')
    return vessel.ratedGaugePressurePascal === null ? 'low' : 'medium';
  return channel === 'carbon-dioxide' || channel === 'oxygen' ? 'medium' : 'low';
};

/** Unix seconds of the next moment at which silence alone changes something; null if none. */
export const nextDue = (watched: Watched, state: WatchState, now: number): number | null => {
  const due: number[] = [];
  for (const { alarm, turnsAt } of Object.values(state.board)) {
    if (turnsAt !== null) due.push(turnsAt);
    if (alarm.state === 'shelved' && alarm.shelvedUntil !== null) due.push(alarm.shelvedUntil);
  }
  if (whyNot('silent-sensor', watched) === null) {
    for (const [channel, memory] of Object.entries(state.channels)) {
      const from = silentFrom(memory);
      if (from !== null && !state.board[`silent-sensor:${channel}`]?.holds) due.push(from);
    }
  }
  return due.length === 0 ? null : Math.max(now, Math.min(...due));
};

export const statusOf = (watched: Watched, state: WatchState, now: number): Status => ({
  stage: watched.batch?.stage ?? null,
  latest: latest(state, now),
  fermentation: null,
  pressure: null,
  alarms: standing(state.board),
  cautions: [],
});

const latest = (state: WatchState, now: number): Status['latest'] => {
  const found: Partial<Record<Channel, LatestReading>> = {};
  for (const channel of channelNames) {
    const memory = state.channels[channel];
    if (memory === undefined) continue;
    found[channel] = {
      value: memory.value,
      unit: channels[channel].unit,
      time: memory.time,
      ageSeconds: Math.max(0, now - memory.time),
    };
  }
  return found;
};

const urgency = { high: 0, medium: 1, low: 2 } as const satisfies Record<Priority, number>;

const standing = (board: Board): Status['alarms'] =>
  Object.values(board)
    .map(({ alarm }) => alarm)
    .filter((alarm) => visible.has(alarm.state))
    .sort((a, b) => urgency[a.priority] - urgency[b.priority] || a.raisedAt - b.raisedAt);

/** Fitted curve and forecast for a chart; null where there is no fit. */
export const curveOf = (
  _watched: Watched,
  _state: WatchState,
  _times: readonly number[],
): readonly Estimate[] | null => null;
