/**
 * Slow is told from stopped, and a pause from both; gas that still comes is no stall. Made courses with the noise of
 * an ordinary float; the noises are of seeds that no limit was tuned on.
 */
import { describe, expect, it } from 'vitest';
import { dice } from '../../src/host/simulated/dice.ts';
import type { AlarmChange } from '../../src/monitoring/alarms/alarm.ts';
import { beginWatch, judge } from '../../src/monitoring/watch.ts';
import type { Point, Watched } from '../../src/monitoring/watched.ts';
import { harbourAle } from './harbour-ale.ts';

const start = 1_770_000_000;

type Course = {
  /** True points at an hour. */
  readonly points: (hour: number) => number;
  /** Litres of gas an hour; null without a meter. */
  readonly flow?: (hour: number) => number;
};

const run = (seed: number, hours: number, { points, flow }: Course): readonly AlarmChange[] => {
  const tank = harbourAle(start);
  const watched: Watched = { ...tank, vessel: { ...tank.vessel, ratedGaugePressurePascal: null } };
  const roll = dice(88_000_003 + seed * 7919);
  const changes: AlarmChange[] = [];
  let state = beginWatch(watched, start);
  for (let hour = 0; hour <= hours; hour += 1) {
    const now = start + hour * 3600;
    const pack: Point[] = [
      { channel: 'gravity', time: now, value: 1 + (points(hour) + roll.normal(0, 0.4)) / 1000 },
      { channel: 'temperature', time: now, value: 19 + roll.normal(0, 0.1) },
    ];
    if (flow !== undefined) {
      const litres = Math.max(0, flow(hour) + roll.normal(0, 0.15));
      pack.push({ channel: 'gas-flow', time: now, value: litres / 3_600_000 });
    }
    const verdict = judge(watched, state, pack, now);
    state = verdict.state;
    changes.push(...verdict.changes);
  }
  return changes;
};

const raised = (changes: readonly AlarmChange[], kind: string): readonly AlarmChange[] =>
  changes.filter(({ alarm, transition }) => alarm.kind === kind && transition === 'raised');

const seeds = [1, 2, 3] as const;

/** 50 points to 12 after a day, by so many hours to a third. */
const falling =
  (hours: number) =>
  (hour: number): number =>
    12 + 38 * Math.exp(-Math.max(0, hour - 20) / hours);

describe('slow or stopped', () => {
  it('calls a fermentation sluggish that falls at half the slowest healthy pace, and never stalled', () => {
    for (const seed of seeds) {
      const changes = run(seed, 300, { points: falling(330) });
      const [sluggish] = raised(changes, 'sluggish');
      expect(raised(changes, 'stall')).toEqual([]);
      expect(sluggish?.alarm.priority).toBe('low');
      expect(sluggish?.alarm.evidence).toMatch(
        /gravity fell \d.* and stands at 1\.0\d+, .* above the expected terminal: [5-9] % of what is left a day, .* at least 14 %/,
      );
      expect(sluggish?.alarm.likelyCauses.length).toBeGreaterThanOrEqual(3);
      expect(sluggish?.alarm.checkFirst.length).toBeGreaterThanOrEqual(3);
      expect(sluggish?.alarm.caution).toMatch(/Do not close it up/);
    }
  });

  it('says nothing of a healthy one, nor of one that was fast and pauses between two sugars', () => {
    const paused = (hour: number): number =>
      hour < 43 ? falling(45)(hour) : falling(45)(Math.max(43, hour - 36));
    for (const seed of seeds) {
      for (const points of [falling(45), falling(80), paused]) {
        const changes = run(seed, 260, { points });
        expect(raised(changes, 'sluggish')).toEqual([]);
        expect(raised(changes, 'stall')).toEqual([]);
      }
    }
  });

  it('ends when the batch picks up, and when it stops for good', () => {
    for (const seed of seeds) {
      const slow = falling(330);
      const pickedUp = (hour: number): number =>
        hour < 240 ? slow(hour) : 12 + (slow(240) - 12) * Math.exp(-(hour - 240) / 60);
      const up = run(seed, 400, { points: pickedUp });
      expect(raised(up, 'sluggish')).toHaveLength(1);
      expect(
        up.some(({ alarm, transition }) => alarm.kind === 'sluggish' && transition === 'returned'),
      ).toBe(true);
      const stopped = run(seed, 420, { points: (hour) => slow(Math.min(hour, 240)) });
      expect(raised(stopped, 'stall')).toHaveLength(1);
      const over = stopped.find(
        ({ alarm, transition }) => alarm.kind === 'sluggish' && transition === 'returned',
      );
      expect(over).toBeDefined();
    }
  });

  it('takes a gravity that stands still for no stall while gas comes, and for one where none does', () => {
    const stuck = (hour: number): number => falling(45)(Math.min(hour, 56));
    for (const seed of seeds) {
      const flow = (hour: number): number =>
        hour < 24 ? 0.4 * hour : hour < 56 ? 12 : 12 * Math.max(0.3, 1 - (hour - 56) / 80);
      expect(raised(run(seed, 150, { points: stuck, flow }), 'stall')).toEqual([]);
      const quiet = (hour: number): number => (hour < 56 ? flow(hour) : 0);
      expect(raised(run(seed, 150, { points: stuck, flow: quiet }), 'stall')).toHaveLength(1);
      expect(raised(run(seed, 150, { points: stuck }), 'stall')).toHaveLength(1);
    }
  });
});
