import { describe, expect, it } from 'vitest';
import { act, beginWatch, judge, nextDue, statusOf } from '../../src/monitoring/watch.ts';
import type { Point, Watched } from '../../src/monitoring/watched.ts';

const tank: Watched = {
  vessel: {
    vessel: 'tank-2',
    title: 'Tank 2',
    kind: 'fermenter',
    volumeLitre: 600,
    headspaceLitre: 100,
    ratedGaugePressurePascal: 100_000,
    reliefGaugePressurePascal: null,
    gasConnected: false,
    temperatureBand: { lowCelsius: 17, highCelsius: 21 },
  },
  batch: {
    batch: 'gale-41',
    title: 'Gale ale 41',
    drink: 'ale',
    stage: 'fermentation',
    startedAt: 0,
    endedAt: null,
    originalGravity: 1.05,
    expectedTerminalGravity: 1.011,
    attenuationLimit: null,
    temperatureBand: null,
    carbonationVolumes: null,
  },
};

const point = (channel: Point['channel'], time: number, value: number): Point => ({
  channel,
  time,
  value,
});

describe('watch', () => {
  it('raises a temperature alarm once after its delay and returns it past the deadband', () => {
    let state = beginWatch(tank, 0);
    const seen: string[] = [];
    const temperatures = [19, 22, 22, 22, 22, 20.8, 20.8, 20, 20, 20];
    for (const [index, value] of temperatures.entries()) {
      const now = index * 900;
      const verdict = judge(tank, state, [point('temperature', now, value)], now);
      state = verdict.state;
      seen.push(...verdict.changes.map((change) => `${change.transition}@${index}`));
    }
    expect(seen).toEqual(['raised@3', 'returned@8']);
    expect(statusOf(tank, state, 9000).alarms.map((alarm) => alarm.state)).toEqual([
      'returned-unacknowledged',
    ]);
    const acknowledged = act(
      tank,
      state,
      { kind: 'acknowledge', alarm: 'temperature:temperature', by: 'ana', note: null },
      9000,
    );
    expect(acknowledged.ok && acknowledged.value.changes[0]?.alarm.state).toBe('normal');
  });

  it('wakes for silence alone', () => {
    let state = beginWatch(tank, 0);
    for (let now = 0; now <= 9000; now += 900) {
      state = judge(tank, state, [point('gravity', now, 1.05)], now).state;
    }
    const due = nextDue(tank, state, 9000);
    expect(due).toBe(9000 + 5 * 3600);
    const verdict = judge(tank, state, [], 9000 + 5 * 3600);
    expect(verdict.changes.map(({ alarm }) => alarm.alarm)).toEqual(['silent-sensor:gravity']);
    expect(nextDue(tank, verdict.state, 30_000)).toBeNull();
  });
});
