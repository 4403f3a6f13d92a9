/** What Gyleward says of a vessel at a moment, drawn from the state of its watch. Pure: no I/O, no clock. */

import { finishAt, terminalGravity } from '../science/attenuation-curve.ts';
import type { Estimate } from '../science/estimate.ts';
import { fermentationState } from '../science/fermentation-state.ts';
import { extractFromGravity } from '../science/gravity.ts';
import { type Channel, channelNames, channels } from '../science/units/channel.ts';
import type { Alarm, AlarmState, Priority } from './alarms/alarm.ts';
import type { Board } from './alarms/alarm-board.ts';
import { isSetAside, isShown } from './alarms/alarm-standing.ts';
import type { Batch } from './batch.ts';
import { heardIn } from './course/chronicle.ts';
import { sampleMark } from './fermentation/sample-mark.ts';
import { terminalBelief } from './fermentation/terminal-belief.ts';
import { limitsInForce } from './stages/limits.ts';
import { stageClocks } from './stages/stage-watch.ts';
import type { FermentationStatus, LatestReading, PressureStatus, Status } from './status.ts';
import type { WatchState } from './watch-state.ts';
import type { Watched } from './watched.ts';
import { points } from './words/spoken.ts';

export const statusOf = (watched: Watched, state: WatchState, now: number): Status => {
  const alarms = alarmsIn(state.board, isShown);
  return {
    stage: watched.batch?.stage ?? null,
    latest: latest(state, now),
    fermentation:
      watched.batch === null || (readsNoGravity(state) && sampleMark(watched.batch) === null)
        ? null
        : fermentation(watched.batch, state),
    pressure: pressure(watched, state),
    clocks: stageClocks(watched, state, now),
    limits: limitsInForce(watched),
    alarms,
    setAside: alarmsIn(state.board, isSetAside),
    cautions: [...new Set(alarms.flatMap(({ caution }) => caution ?? []))],
  };
};

const readsNoGravity = ({ chronicle: { rows } }: WatchState): boolean =>
  rows.every((row) => heardIn(row, 'gravity') === null);

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

const fermentation = (batch: Batch, state: WatchState): FermentationStatus => {
  const { fermentation: memory } = state;
  const present = memory.present?.gravity ?? null;
  const extract = present === null ? null : extractFromGravity(present);
  const stands =
    present === null || batch.originalGravity === null
      ? null
      : fermentationState(batch.originalGravity, Math.min(present, batch.originalGravity));
  const { fit } = memory;
  return {
    phase: memory.phase,
    presentGravity: present,
    presentExtractPlato: extract?.ok ? extract.value : null,
    apparentAttenuation: stands?.ok ? stands.value.apparentAttenuation : null,
    realAttenuation: stands?.ok ? stands.value.realAttenuation : null,
    alcoholByVolumePercent: stands?.ok ? stands.value.alcoholByVolumePercent : null,
    terminalGravity: fit === null ? believedTerminal(batch) : terminalGravity(fit),
    finishAt: fit === null || memory.phase === 'stalled' ? null : finishAt(fit),
    basis: basis(batch, memory, readsNoGravity(state)),
  };
};

const pressure = (watched: Watched, { pressure: memory }: WatchState): PressureStatus | null => {
  if (memory === null) return null;
  const rated = watched.vessel.ratedGaugePressurePascal;
  return {
    gaugePressurePascal: memory.gaugePressurePascal,
    equilibriumGaugePressurePascal: memory.restPascal,
    carbonationVolumes: memory.volumes,
    shareOfRating: rated === null ? null : memory.gaugePressurePascal / rated,
    crossingAt: memory.crossingAt,
    basis: memory.basis,
  };
};

/** The 90 % band of a normal distribution, in standard deviations. */
const bandErrors = 1.645;

/** Terminal gravity by belief alone; null where nothing is believed. */
const believedTerminal = (batch: Batch): Estimate | null => {
  const original = batch.originalGravity;
  const belief = terminalBelief(batch, original === null ? null : (original - 1) * 1000);
  if (belief === null) return null;
  const at = (errors: number): number => 1 + (belief.points + errors * belief.sd) / 1000;
  return { value: at(0), low: at(-bandErrors), high: at(bandErrors) };
};

const basis = (batch: Batch, memory: WatchState['fermentation'], byHand: boolean): string => {
  if (memory.fit === null) {
    const why = memory.fitFault ?? 'Too few readings so far.';
    return believedTerminal(batch) === null
      ? why
      : `${why} Until there is a curve, terminal gravity is what the brewer and drinks of this kind lead to expect.`;
  }
  const { fit } = memory;
  const best = fit.models.reduce((a, b) => (b.weight > a.weight ? b : a));
  const known = [
    batch.expectedTerminalGravity === null ? null : "the brewer's estimate",
    batch.attenuationLimit === null ? null : 'the attenuation limit',
    fit.usedPrior ? 'what such drinks usually reach' : null,
  ].filter((part) => part !== null);
  return (
    `Curve (${best.model}, weight ${best.weight.toFixed(2)}) through ${fit.readings} ${byHand ? (fit.readings === 1 ? 'hand sample' : 'hand samples') : 'half-hour medians'}` +
    `${known.length === 0 ? '' : `, with ${known.join(' and ')}`}. ` +
    (byHand
      ? 'No sensor reads gravity.'
      : sensorWords(batch, (memory.present?.sensorError ?? 0) / 1000)) +
    (memory.phase === 'stalled'
      ? ' The curve is what the batch would do if it were not stalled.'
      : '')
  );
};

/** Below this a hydrometer and a float agree: a third of a point. */
const agreeing = 0.0003;

const sensorWords = ({ samples = [] }: Batch, error: number): string => {
  const taken = samples.filter(({ gravity }) => gravity !== null).length;
  const against =
    taken === 0 ? 'the original gravity' : `${taken} hand ${taken === 1 ? 'sample' : 'samples'}`;
  return Math.abs(error) < agreeing
    ? `The sensor agrees with ${against}.`
    : `Against ${against} the sensor reads ${points(Math.abs(error))} ${error > 0 ? 'high' : 'low'}; the figures are freed of that.`;
};

const urgency = { high: 0, medium: 1, low: 2 } as const satisfies Record<Priority, number>;

/** Most urgent first. */
const alarmsIn = (board: Board, where: (state: AlarmState) => boolean): readonly Alarm[] =>
  Object.values(board)
    .map(({ alarm }) => alarm)
    .filter(({ state }) => where(state))
    .sort((a, b) => urgency[a.priority] - urgency[b.priority] || a.raisedAt - b.raisedAt);
