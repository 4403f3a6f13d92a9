/**
 * The air of a workroom against NIOSH 1994 (REL and OSHA PEL 5 000 ppm over 8 h, short-term 30 000 ppm over 15 min,
 * IDLH 40 000 ppm) and oxygen of 19.5 % (30 CFR 75.321).
 */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { emptyCourse, standing, taken } from '../../src/monitoring/stages/course.ts';
import { exposureFold, meansAt } from '../../src/monitoring/stages/exposure.ts';
import { statusOf } from '../../src/monitoring/watch.ts';
import {
  batchIn,
  begin,
  call,
  heardOf,
  hour,
  minute,
  play,
  readings,
  start,
  toldAt,
  vesselOf,
} from './stages-run.ts';

const room = {
  vessel: vesselOf('room', { volumeLitre: 180_000, headspaceLitre: 180_000 }),
  batch: null,
};
const ppm = (value: (seconds: number) => number, until: number, every = minute) =>
  readings('carbon-dioxide', every, 0, until, value);

describe('air of a workroom', () => {
  test('40 000 ppm is told at once, by one reading', () => {
    const played = play(
      room,
      ppm((s) => (s < hour ? 600 : 40_000), hour),
      hour,
    );
    expect(heardOf(played)).toEqual(['air-danger raised']);
    expect(toldAt(played, 'air-danger raised')).toBe(hour);
    const alarm = statusOf(room, played.state, played.now).alarms[0];
    expect(alarm).toMatchObject({ kind: 'air-danger', priority: 'high' });
    for (const said of [
      /Leave the room/,
      /Ventilate from outside/,
      /Do not go in to help/,
      /call for help/,
      /certified gas monitor decides/,
    ])
      expect(alarm?.caution).toMatch(said);
    expect(alarm?.source).toMatch(/NIOSH.*1994/);
    expect(
      play(
        room,
        ppm(() => 39_999, 10 * minute),
        10 * minute,
      ).told,
    ).toEqual([]);
  });

  test('30 000 ppm counts as a mean over 15 min: 31 000 ppm is told after 14.5 min, 29 000 ppm never', () => {
    const course = (level: number) => (s: number) => (s < hour ? 430 : level);
    const high = play(room, ppm(course(31_000), 2 * hour), 2 * hour);
    const raised = (toldAt(high, 'air-short-term raised') ?? 0) - hour;
    // The mean passes when 430 + (31 000 - 430) t / 15 min does.
    const exact = (15 * minute * (30_000 - 430)) / (31_000 - 430);
    expect(raised).toBeGreaterThan(exact - minute);
    expect(raised).toBeLessThanOrEqual(exact + minute);
    const low = play(room, ppm(course(29_000), 2 * hour), 2 * hour);
    expect(heardOf(low)).not.toContain('air-short-term raised');
  });

  test('5 000 ppm counts as a mean over 8 h', () => {
    const course = (level: number) => (s: number) => (s < 8 * hour ? 430 : level);
    const all = play(room, ppm(course(5500), 18 * hour), 18 * hour);
    expect(heardOf(all)).toEqual(['air-working-day raised']);
    const exact = (8 * hour * (5000 - 430)) / (5500 - 430);
    expect((toldAt(all, 'air-working-day raised') ?? 0) - 8 * hour).toBeGreaterThan(
      exact - quarter,
    );
    expect((toldAt(all, 'air-working-day raised') ?? 0) - 8 * hour).toBeLessThanOrEqual(
      exact + quarter,
    );
    expect(heardOf(play(room, ppm(course(4900), 30 * hour), 30 * hour))).toEqual([]);
    // Two hours at 12 000 ppm are 3 300 ppm over the working day.
    const spell = (s: number): number => (s >= 8 * hour && s < 10 * hour ? 12_000 : 430);
    expect(heardOf(play(room, ppm(spell, 20 * hour), 20 * hour))).toEqual([]);
  });
  const quarter = 15 * minute;

  test('a sensor that falls silent at 32 000 ppm is held: the quarter of an hour runs out by the clock', () => {
    const played = play(
      room,
      ppm((s) => (s < hour ? 430 : 32_000), 65 * minute),
      2 * hour,
    );
    expect(heardOf(played)).toEqual(['air-short-term raised']);
    expect(toldAt(played, 'air-short-term raised') ?? 0).toBeLessThanOrEqual(hour + quarter);
  });

  test('in silence nothing is called good again', () => {
    const played = play(
      room,
      ppm((s) => (s < hour ? 430 : 35_000), 90 * minute),
      30 * hour,
    );
    expect(heardOf(played).filter((what) => what.startsWith('air-short-term'))).toEqual([
      'air-short-term raised',
    ]);
  });

  test('oxygen of 19.4 % is told at once, 19.5 % is not', () => {
    const at = (share: number) => [
      { channel: 'oxygen' as const, time: start + minute, value: share },
    ];
    expect(heardOf(play(room, at(0.194), hour))).toEqual(['low-oxygen raised']);
    expect(heardOf(play(room, at(0.195), hour))).toEqual([]);
  });

  test('the air is judged whatever stage the batch beside it is in, and no change of stage sets it aside', () => {
    const cellar = { vessel: vesselOf('fermenter'), batch: batchIn('fermentation') };
    const played = play(
      cellar,
      ppm(() => 45_000, 5 * minute),
      5 * minute,
    );
    expect(heardOf(played)).toEqual(['air-danger raised']);
    call(played, { ...cellar, batch: batchIn('conditioning') }, [], start + 6 * minute);
    call(played, { ...cellar, batch: null }, [], start + 7 * minute);
    expect(heardOf(played)).toEqual(['air-danger raised']);
  });

  test('the alarm waits for a person although the reading is calm again', () => {
    const played = play(
      room,
      ppm((s) => (s < 8 * minute ? 45_000 : 500), hour),
      hour,
    );
    expect(heardOf(played)).toEqual(['air-danger raised', 'air-danger latched']);
  });

  test('the means are those of the readings themselves, for any course', () => {
    let compared = 0;
    fc.assert(
      fc.property(
        fc.array(
          fc.tuple(fc.integer({ min: 30, max: 1800 }), fc.integer({ min: 400, max: 60_000 })),
          { minLength: 2, maxLength: 40 },
        ),
        (steps) => {
          let time = start;
          const course = steps.map(([gap, value]) => {
            time += gap;
            return { time, value };
          });
          const exposure = standing(taken(emptyCourse, course, exposureFold), exposureFold);
          if (exposure === null) throw new Error('no reading was taken');
          const means = meansAt(exposure, time);
          // Every second of the last quarter of an hour, by the straight lines between readings.
          const mean = (span: number, every: number): number => {
            let sum = 0;
            let count = 0;
            for (let at = time - span + every / 2; at < time; at += every) {
              const after = course.findIndex((one) => one.time >= at);
              const to = course[after];
              const from = course[after - 1];
              sum +=
                to === undefined || from === undefined
                  ? 430
                  : from.value +
                    ((to.value - from.value) * (at - from.time)) / (to.time - from.time);
              count += 1;
            }
            return sum / count;
          };
          compared += 1;
          // Part of the oldest minute and quarter counts by its share: up to a fifteenth, or a thirty-second.
          const swing = 60_000;
          expect(Math.abs(means.shortPpm - mean(900, 5))).toBeLessThan(swing / 15);
          expect(Math.abs(means.dayPpm - mean(8 * hour, 60))).toBeLessThan(swing / 32);
        },
      ),
      { numRuns: 100 },
    );
    expect(compared).toBe(100);
  });

  test('the memory of the air stays small', () => {
    const played = begin(room);
    for (let s = 0; s < 12 * hour; s += 20) {
      call(
        played,
        room,
        [{ channel: 'carbon-dioxide', time: start + s, value: 600 + s / 100 }],
        start + s,
      );
    }
    expect(JSON.stringify(played.state.stages).length).toBeLessThan(4000);
  });
});
