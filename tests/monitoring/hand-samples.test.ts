/**
 * A batch that no sensor watches: hand samples alone feed course, curve, forecast and verdict. The truth is a made
 * course; samples scatter by half a point, as a hydrometer read by hand does (common practice, no source).
 */
import { describe, expect, it } from 'vitest';
import { dice } from '../../src/host/simulated/dice.ts';
import type { AlarmChange } from '../../src/monitoring/alarms/alarm.ts';
import type { HandSample } from '../../src/monitoring/hand-sample.ts';
import {
  beginWatch,
  curveOf,
  judge,
  statusOf,
  type WatchState,
} from '../../src/monitoring/watch.ts';
import type { Watched } from '../../src/monitoring/watched.ts';
import { harbourAle } from './harbour-ale.ts';

const start = 1_770_000_000;

/** Points: 50 to 12, half of it after 60 h. */
const truth = (hour: number): number => 12 + 38 / (1 + Math.exp((hour - 60) / 14));

const sampleAt = (hour: number, points: number): HandSample => ({
  time: start + hour * 3600,
  gravity: Number((1 + points / 1000).toFixed(4)),
  readingGravity: null,
  sampleTemperatureCelsius: null,
  ph: null,
  by: 'ana',
  note: null,
});

type Followed = {
  readonly watched: Watched;
  readonly state: WatchState;
  readonly changes: readonly AlarmChange[];
  readonly now: number;
};

/** As storage does it: each sample changes the batch, and the watch is asked without a reading. */
const followed = (samples: readonly HandSample[]): Followed => {
  const tank = harbourAle(start);
  let watched: Watched = tank;
  let state = beginWatch(tank, start);
  const changes: AlarmChange[] = [];
  let now = start;
  for (let count = 1; count <= samples.length; count += 1) {
    const taken = samples.slice(0, count);
    now = taken.at(-1)?.time ?? now;
    if (tank.batch === null) throw new Error('the tank holds a batch');
    watched = { ...tank, batch: { ...tank.batch, samples: taken } };
    const verdict = judge(watched, state, [], now);
    state = verdict.state;
    changes.push(...verdict.changes);
  }
  return { watched, state, changes, now };
};

const stalls = ({ changes }: Followed): readonly AlarmChange[] =>
  changes.filter(({ alarm, transition }) => alarm.kind === 'stall' && transition === 'raised');

describe('hand samples without a sensor', () => {
  it('say that they are too few for a curve, and give what is believed beforehand', () => {
    const { watched, state, now } = followed([sampleAt(20, truth(20))]);
    const status = statusOf(watched, state, now).fermentation;
    expect(state.fermentation.fit).toBeNull();
    expect(status?.terminalGravity).not.toBeNull();
    expect(status?.basis).toMatch(/Too few readings/);
    expect(curveOf(watched, state, [now])).toBeNull();
  });

  it('give a curve, a forecast and a finish whose bands hold in at least 17 of 20 noises', () => {
    let held = 0;
    for (let seed = 1; seed <= 20; seed += 1) {
      const roll = dice(seed * 7919);
      const hours = [24, 48, 72, 90, 108];
      const { watched, state, now } = followed(
        hours.map((hour) => sampleAt(hour, truth(hour) + roll.normal(0, 0.5))),
      );
      const status = statusOf(watched, state, now).fermentation;
      expect(status?.phase).toBe('active');
      expect(status?.basis).toMatch(/5 hand samples.*No sensor reads gravity/);
      expect(Math.abs((status?.presentGravity ?? 0) - (1 + truth(108) / 1000))).toBeLessThan(0.002);
      const terminal = status?.terminalGravity;
      const finish = status?.finishAt;
      const curve = curveOf(watched, state, [start + 60 * 3600, now]);
      expect(curve).toHaveLength(2);
      if (terminal === undefined || terminal === null || finish === undefined || finish === null) {
        throw new Error('five samples make a forecast');
      }
      expect(terminal.high - terminal.low).toBeLessThan(0.012);
      // Within half a point of 12 at hour 120.5.
      const inTime = finish.low <= start + 120.5 * 3600 && start + 120.5 * 3600 <= finish.high;
      if (terminal.low <= 1.012 && 1.012 <= terminal.high && inTime) held += 1;
    }
    expect(held).toBeGreaterThanOrEqual(17);
  });

  it('find a stall by three samples that agree, but not by two', () => {
    const stopped = (hour: number): number => truth(Math.min(hour, 66));
    const hours = [24, 48, 66, 90];
    const early = followed(hours.map((hour) => sampleAt(hour, stopped(hour))));
    expect(stalls(early)).toHaveLength(0);
    const late = followed([...hours, 114, 138].map((hour) => sampleAt(hour, stopped(hour))));
    expect(stalls(late)).toHaveLength(1);
    expect(stalls(late)[0]?.alarm.evidence).toMatch(/above the expected terminal/);
  });

  it('judge again when a sample is corrected, whenever it was taken', () => {
    const { watched, state, now } = followed(
      [24, 48, 72, 96].map((hour) => sampleAt(hour, truth(hour))),
    );
    const { batch } = watched;
    if (batch === null) throw new Error('the tank holds a batch');
    const corrected = (batch.samples ?? []).map((sample, index) =>
      index === 1 ? { ...sample, gravity: (sample.gravity ?? 1) - 0.006 } : sample,
    );
    const again = judge({ ...watched, batch: { ...batch, samples: corrected } }, state, [], now);
    expect(again.state.fermentation.fit).not.toEqual(state.fermentation.fit);
    const unasked = judge(watched, state, [], now + 60);
    expect(unasked.state.fermentation).toBe(state.fermentation);
  });
});
