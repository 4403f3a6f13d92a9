/** A gravity sensor held against samples taken by hand: offset and drift are told with their numbers, a sound one is not. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { dice } from '../../src/host/simulated/dice.ts';
import type { Batch } from '../../src/monitoring/batch.ts';
import type { HandSample } from '../../src/monitoring/hand-sample.ts';
import type { Verdict } from '../../src/monitoring/verdict.ts';
import { beginWatch, judge } from '../../src/monitoring/watch.ts';
import type { Watched } from '../../src/monitoring/watched.ts';
import { hectolitreFermenter } from './hectolitre-fermenter.ts';

const start = 1_770_000_000;
const hour = 3600;

const batch: Batch = {
  batch: 'gyle-4',
  title: 'Gyle 4',
  drink: 'ale',
  stage: 'fermentation',
  startedAt: start,
  endedAt: null,
  originalGravity: 1.05,
  expectedTerminalGravity: 1.011,
  attenuationLimit: null,
  temperatureBand: null,
  carbonationVolumes: null,
};

const gravityAt = (hours: number): number => 1.011 + 0.039 / (1 + Math.exp((hours - 40) / 9));

const sampled = (hours: number, gravity = gravityAt(hours)): HandSample => ({
  time: start + hours * hour,
  gravity,
  readingGravity: null,
  sampleTemperatureCelsius: null,
  ph: null,
  by: 'Rhona',
  note: null,
});

/** Follows a sensor that reads so many points too high at each hour; samples become known when they are taken. */
const followed = (
  errorPoints: (hours: number) => number,
  samples: readonly HandSample[],
  hours: number,
): readonly Verdict[] => {
  const roll = dice(41);
  let state = beginWatch({ vessel: hectolitreFermenter, batch }, start);
  return Array.from({ length: hours * 2 }, (_, step) => {
    const now = start + step * 1800;
    const known = samples.filter(({ time }) => time <= now);
    const watched: Watched = { vessel: hectolitreFermenter, batch: { ...batch, samples: known } };
    const value = gravityAt(step / 2) + (errorPoints(step / 2) + roll.normal(0, 0.3)) / 1000;
    const verdict = judge(watched, state, [{ channel: 'gravity', time: now, value }], now);
    state = verdict.state;
    return verdict;
  });
};

const told = (verdicts: readonly Verdict[]) =>
  verdicts.flatMap(({ changes }) =>
    changes.filter(({ alarm }) => alarm.kind === 'misreading-sensor'),
  );

describe('a sensor beside samples by hand', () => {
  it('is told of when its offset is more than a float has, and when it reads right again', () => {
    // Cleaned after five days.
    const changes = told(
      followed(
        (at) => (at < 120 ? 5 : 0.2),
        [72, 96, 132, 140, 148].map((at) => sampled(at)),
        160,
      ),
    );
    expect(changes.map(({ transition }) => transition)).toEqual(['raised', 'returned']);
    expect(changes[0]?.alarm.priority).toBe('low');
    expect(changes[0]?.alarm.evidence).toMatch(/reads (4\.[6-9]|5|5\.[1-4]) points too high/);
    expect(changes[0]?.alarm.checkFirst.length).toBeGreaterThan(0);
  });

  it('is told of when it drifts from one sample to a later one', () => {
    const changes = told(
      followed(
        (at) => 0.5 - (4.8 * at) / 240,
        [24, 230, 240].map((at) => sampled(at)),
        250,
      ),
    );
    expect(changes.map(({ transition }) => transition)).toEqual(['raised']);
    expect(changes[0]?.alarm.evidence).toMatch(
      /reads (3\.\d|4(\.\d)?) points too low.* has drifted: (8\.6|9) days before/,
    );
  });

  it('is not blamed for one careless sample, nor while foam lifts it for a sample', () => {
    const careless = sampled(96, gravityAt(96) + 0.008);
    expect(told(followed(() => 0.5, [sampled(72), careless, sampled(120)], 130))).toEqual([]);
    const foam = (at: number): number => (at > 44 && at < 52 ? 9 : 0);
    expect(
      told(
        followed(
          foam,
          [24, 48, 96].map((at) => sampled(at)),
          110,
        ),
      ),
    ).toEqual([]);
  });

  it('is not blamed for an ordinary offset, the hydrometer’s error or a fall while it is read', () => {
    let samples = 0;
    fc.assert(
      fc.property(
        fc.double({ min: -1.5, max: 1.5, noNaN: true }),
        fc.array(
          fc.record({
            at: fc.integer({ min: 10, max: 100 }),
            error: fc.double({ min: -0.8, max: 0.8, noNaN: true }),
          }),
          { minLength: 1, maxLength: 6 },
        ),
        (offset, taken) => {
          samples += taken.length;
          const hand = taken
            .toSorted((a, b) => a.at - b.at)
            .map(({ at, error }) => sampled(at, gravityAt(at) + error / 1000));
          expect(told(followed(() => offset, hand, 110))).toEqual([]);
        },
      ),
      { numRuns: 16 },
    );
    expect(samples).toBeGreaterThanOrEqual(16);
  });

  it('that is moved is told of once, healed, and taken for no trouble of the fermentation', () => {
    const verdicts = followed((at) => (at >= 70 ? 7 : 0), [], 200);
    const moved = verdicts.flatMap(({ happenings }) =>
      happenings.filter(({ kind }) => kind === 'sensor-moved'),
    );
    expect(moved).toHaveLength(1);
    expect(moved[0]?.words).toMatch(/leapt up by [67](\.\d)? points/);
    expect(verdicts.flatMap(({ changes }) => changes)).toEqual([]);
    const present = verdicts.at(-1)?.state.fermentation.present?.gravity ?? 0;
    expect(Math.abs(present - gravityAt(200))).toBeLessThan(0.0012);
  });
});
