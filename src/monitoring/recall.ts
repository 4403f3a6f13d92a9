/**
 * Recalls a batch from stored readings that the watch never judged, as after a back-fill: replays them in silence and
 * takes over what the detectors remember. Nothing is told of it: alarms stay as people know them, and a condition
 * that still holds speaks up with the next reading that is judged. Pure: no I/O, no clock, no randomness.
 *
 * What is not known is supposed: before the present stage began, the batch is replayed in the stage in which vessels
 * of its kind begin; and each pack is taken to have arrived when its last reading was measured.
 */
import type { Alarm } from './alarms/alarm.ts';
import { type AlarmEntry, freshCourse, untoldEntry } from './alarms/alarm-entry.ts';
import { latches } from './alarms/latching.ts';
import { firstStage } from './batch.ts';
import { judge } from './judge.ts';
import { beginWatch, type WatchState } from './watch-state.ts';
import type { Point, Watched } from './watched.ts';

/**
 * Seconds of measurements that are judged together. Chosen by us: a fortnight takes a second or so; shorter follows
 * each turn more closely and takes longer, a day blurs how fast a fermentation went.
 */
export const recalledTogetherSeconds = 6 * 3600;

/** The batch as it was known at a moment. */
const asOf = ({ batch, ...watched }: Watched, now: number): Watched => {
  if (batch === null) return { ...watched, batch };
  const { stageStartedAt, ...whole } = batch;
  const known = {
    ...whole,
    ...(batch.samples === undefined
      ? {}
      : { samples: batch.samples.filter(({ time }) => time <= now) }),
    ...(batch.deeds === undefined ? {} : { deeds: batch.deeds.filter(({ at }) => at <= now) }),
  };
  return {
    ...watched,
    batch:
      stageStartedAt === undefined || stageStartedAt <= now
        ? { ...known, ...(stageStartedAt === undefined ? {} : { stageStartedAt }) }
        : { ...known, stage: firstStage[watched.vessel.kind] },
  };
};

export const beginRecall = (watched: Watched, from: number): WatchState =>
  beginWatch(asOf(watched, from), from);

/** Replays what was measured up to a moment. */
export const recallOn = (
  watched: Watched,
  state: WatchState,
  points: readonly Point[],
  upTo: number,
): WatchState => judge(asOf(watched, upTo), state, points, upTo).state;

/**
 * The watch with what was recalled. Its alarms are kept, and so is the rhythm of what arrives, since stored readings
 * say nothing of when they came.
 */
export const withRecalled = (present: WatchState, recalled: WatchState): WatchState => ({
  ...recalled,
  board: present.board,
  channels: Object.fromEntries(
    Object.entries(recalled.channels).map(([name, memory]) => {
      const live = present.channels[name as keyof typeof present.channels];
      return [
        name,
        {
          ...memory,
          arrivedAt: live?.arrivedAt ?? memory.time,
          arrivalGaps: live?.arrivalGaps ?? [],
        },
      ];
    }),
  ),
});

/**
 * A watch that goes on with alarms as they are known from elsewhere, each as it last stood. One that the watch knows
 * itself stays as it is.
 */
export const withAlarms = (state: WatchState, alarms: readonly Alarm[]): WatchState => ({
  ...state,
  board: {
    ...Object.fromEntries(alarms.map((alarm) => [alarm.alarm, entryOf(alarm)])),
    ...state.board,
  },
});

const entryOf = (alarm: Alarm): AlarmEntry => {
  const holds = alarm.state === 'unacknowledged' || alarm.state === 'acknowledged';
  const latched =
    alarm.state === 'latched-unacknowledged' || alarm.state === 'latched-acknowledged';
  return {
    ...untoldEntry(alarm, alarm.alarm, alarm.batch, alarm.raisedAt),
    ...freshCourse(holds),
    alarm,
    holds,
    latched: latched || (holds && latches(alarm.kind)),
  };
};
