/** While Gyleward itself was away, silence is not blamed on a sensor; afterwards it is, in its time. */
import { expect, test } from 'vitest';
import { beginWatch, judge, nextDue, type WatchState } from '../../src/monitoring/watch.ts';
import type { Watched } from '../../src/monitoring/watched.ts';

const hour = 3600;
const start = 1_900_000_000;

const cellar: Watched = {
  vessel: {
    vessel: 'fermenter-1',
    title: 'Long Meg',
    kind: 'fermenter',
    volumeLitre: 1200,
    headspaceLitre: 200,
    ratedGaugePressurePascal: null,
    reliefGaugePressurePascal: null,
    gasConnected: false,
    temperatureBand: null,
  },
  batch: {
    batch: 'haymaker-12',
    title: 'Haymaker ale',
    drink: 'ale',
    stage: 'fermentation',
    startedAt: start,
    endedAt: null,
    originalGravity: 1.05,
    expectedTerminalGravity: null,
    attenuationLimit: null,
    temperatureBand: null,
    carbonationVolumes: null,
  },
};

/** A day of readings every quarter of an hour. */
const afterADay = (): WatchState => {
  let state = beginWatch(cellar, start);
  for (let step = 0; step < 96; step += 1) {
    const time = start + step * 900;
    const value = 19 + 0.1 * Math.sin(step);
    state = judge(cellar, state, [{ channel: 'temperature', time, value }], time).state;
  }
  return state;
};

const raisedAt = (watched: Watched, state: WatchState, now: number) =>
  judge(watched, state, [], now).changes.filter(({ transition }) => transition === 'raised');

test('after nine hours away no sensor is blamed, and one that stays silent is, later', () => {
  const state = afterADay();
  const back = start + 24 * hour + 9 * hour;
  expect(raisedAt(cellar, state, back)).toHaveLength(1);
  const told: Watched = { ...cellar, absence: { from: start + 24 * hour, to: back } };
  expect(raisedAt(told, state, back)).toHaveLength(0);
  // Looked at once, so that no bucket is open; then silence alone is due.
  const looked = judge(told, state, [], back).state;
  const due = nextDue(told, looked, back);
  expect(due).toBeGreaterThan(back);
  const [change] = raisedAt(told, looked, (due ?? 0) + 1);
  expect(change?.alarm.kind).toBe('silent-sensor');
  expect(change?.alarm.evidence).toMatch(/Gyleward itself was away for 9 h/);
});
