/**
 * Cold steep, ageing and conditioning. Cold steep: FDA Food Code 2009, 3-501.16, .17 and .19, and 21 CFR 114.3, as in
 * tests/science/steep-clock.test.ts. Intervals of cellar work are common practice and named as such.
 */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Batch } from '../../src/monitoring/batch.ts';
import { withDeed } from '../../src/monitoring/stages/deed.ts';
import { statusOf } from '../../src/monitoring/watch.ts';
import type { Point } from '../../src/monitoring/watched.ts';
import { steepClock } from '../../src/science/steep-clock.ts';
import {
  batchIn,
  begin,
  call,
  day,
  heardOf,
  hour,
  minute,
  play,
  readings,
  runTo,
  start,
  toldAt,
  vesselOf,
} from './stages-run.ts';

const quarter = 15 * minute;

describe('cold steep', () => {
  const tank = {
    vessel: vesselOf('steeping-tank'),
    batch: batchIn('cold-steep', 'infusion'),
  };
  const at = (celsius: number, until: number) =>
    readings('temperature', quarter, 0, until, () => celsius);
  const sour: Point = { channel: 'ph', time: start, value: 4.2 };

  const cases = [
    {
      name: '3-501.17: cold at 4 °C it has until the seventh day, warned half a day before',
      points: [sour, ...at(4, 7 * day)],
      until: 7 * day,
      safety: { ahead: 6 * day - 12 * hour, over: 6 * day },
    },
    {
      name: '3-501.19: set at 18 °C and left, it has 4 h',
      points: [sour, ...at(18, 8 * hour)],
      until: 8 * hour,
      safety: { ahead: 3 * hour, over: 4 * hour },
    },
    {
      name: '3-501.19: begun at 4 °C and never past 21 °C, it has 6 h above 5 °C',
      points: [sour, ...readings('temperature', quarter, 0, 10 * hour, (s) => (s < hour ? 4 : 12))],
      until: 10 * hour,
      // From 4 °C at 45 min to 12 °C at 60 min the line crosses 5 °C after an eighth.
      safety: {
        ahead: 45 * minute + quarter / 8 + 5 * hour,
        over: 45 * minute + quarter / 8 + 6 * hour,
      },
    },
    {
      name: 'begun cold and past 21 °C it has 4 h',
      points: [sour, ...readings('temperature', quarter, 0, 10 * hour, (s) => (s < hour ? 4 : 24))],
      until: 10 * hour,
      safety: {
        ahead: 45 * minute + quarter / 20 + 3 * hour,
        over: 45 * minute + quarter / 20 + 4 * hour,
      },
    },
    {
      name: 'the sensor falls silent at 12 °C: its last temperature is taken to stay',
      points: [sour, ...at(12, hour)],
      until: 8 * hour,
      safety: { ahead: 3 * hour, over: 4 * hour },
    },
  ] as const;

  test.each(cases)('$name', ({ points, until, safety }) => {
    const played = play(tank, points, until);
    expect(toldAt(played, 'food-safety-ahead raised')).toBeCloseTo(safety.ahead, -1);
    expect(toldAt(played, 'food-safety raised')).toBeCloseTo(safety.over, -1);
    expect(heardOf(played).filter((what) => what === 'food-safety raised')).toHaveLength(1);
    const alarm = statusOf(tank, played.state, played.now).alarms.find(
      ({ kind }) => kind === 'food-safety',
    );
    expect(alarm).toMatchObject({ priority: 'high' });
    expect(alarm?.caution).toMatch(/discarded/);
    expect(alarm?.source).toMatch(/3-501/);
  });

  test('the watch and science agree on the moment, for any course', () => {
    let compared = 0;
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 0, max: 25, noNaN: true }), { minLength: 2, maxLength: 20 }),
        (course) => {
          const points = course.map((value, index) => ({
            channel: 'temperature' as const,
            time: start + index * hour,
            value,
          }));
          const played = begin(tank);
          let over: number | null = null;
          for (const [index, point] of points.entries()) {
            call(played, tank, [point], point.time);
            const clock = steepClock({
              startedAtSeconds: start,
              nowSeconds: point.time,
              readings: points
                .slice(0, index + 1)
                .map(({ time, value }) => ({ timeSeconds: time, temperatureCelsius: value })),
              pH: null,
            });
            if (!clock.ok) throw new Error(clock.fault.kind);
            const passed = clock.value.kind === 'over' || clock.value.dueAtSeconds <= point.time;
            if (passed) over ??= point.time - start;
            compared += 1;
            expect(toldAt(played, 'food-safety raised')).toBe(over);
          }
        },
      ),
      { numRuns: 60 },
    );
    expect(compared).toBeGreaterThan(120);
  });

  test('a steep that is chilled in time is told that it is out of danger, and the time is not given back', () => {
    const course = (s: number): number => (s < 3.5 * hour ? 15 : 3);
    const played = play(
      tank,
      [sour, ...readings('temperature', quarter, 0, 12 * hour, course)],
      12 * hour,
    );
    expect(heardOf(played)).toEqual([
      'temperature raised',
      'food-safety-ahead raised',
      'food-safety-ahead returned',
      'temperature returned',
    ]);
    const again = (s: number): number => (s < 3.5 * hour || s > 8 * hour ? 15 : 3);
    const spent = play(
      tank,
      [sour, ...readings('temperature', quarter, 0, 12 * hour, again)],
      12 * hour,
    );
    expect(toldAt(spent, 'food-safety raised') ?? 0).toBeLessThan(8.75 * hour);
  });

  test('21 CFR 114.3: above pH 4.6 it is no acid food, by the probe or by a sample', () => {
    const acid = play(tank, [{ ...sour, value: 4.6 }, ...at(4, hour)], hour);
    expect(heardOf(acid)).toEqual([]);
    const probe = play(tank, [...at(4, hour), { ...sour, time: start + hour, value: 5.1 }], hour);
    expect(heardOf(probe)).toEqual(['low-acid raised']);
    const cold = statusOf(tank, probe.state, probe.now).alarms[0];
    expect(cold).toMatchObject({ kind: 'low-acid', priority: 'low' });
    const sampled: typeof tank = {
      ...tank,
      batch: {
        ...tank.batch,
        samples: [
          {
            time: start + 30 * minute,
            gravity: null,
            readingGravity: null,
            sampleTemperatureCelsius: null,
            ph: 5.1,
            by: 'Ingrith Vane',
            note: null,
          },
        ],
      },
    };
    const warm = play(sampled, at(12, hour), hour);
    expect(heardOf(warm)).toContain('low-acid raised');
    expect(
      statusOf(sampled, warm.state, warm.now).alarms.find(({ kind }) => kind === 'low-acid'),
    ).toMatchObject({ priority: 'medium' });
  });

  test('a wine that lies cold is under none of these rules', () => {
    const wine = { ...tank, batch: batchIn('cold-steep', 'wine') };
    expect(heardOf(play(wine, at(18, 8 * hour), 8 * hour))).toEqual(['temperature raised']);
  });

  test('a day is over after a day (common practice), and a batch may ask for less', () => {
    const played = play(tank, [sour, ...at(4, 2 * day)], 2 * day);
    expect(heardOf(played)).toEqual(['time-reached raised']);
    expect(toldAt(played, 'time-reached raised')).toBe(day);
    const short = {
      ...tank,
      batch: { ...tank.batch, limits: { 'cold-steep': { steepSeconds: 14 * hour } } },
    };
    expect(toldAt(play(short, at(4, day), day), 'time-reached raised')).toBe(14 * hour);
  });
});

describe('ageing', () => {
  const barrel = { vessel: vesselOf('barrel'), batch: batchIn('ageing', 'wine') };
  const written = (batch: Batch, deed: 'topped' | 'tested', seconds: number): Batch =>
    withDeed(batch, { deed, at: start + seconds, by: 'Tobin Askew', note: null });

  test('topping every 30 days and a test every 60 (common practice), by the clock alone', () => {
    const played = play(barrel, [], 70 * day);
    expect(heardOf(played)).toEqual(['overdue-topping raised', 'overdue-test raised']);
    expect(toldAt(played, 'overdue-topping raised')).toBe(30 * day);
    expect(toldAt(played, 'overdue-test raised')).toBe(60 * day);
  });

  test('a deed that is written down ends the alarm, and the clock begins anew', () => {
    const played = play(barrel, [], 31 * day);
    const topped = { ...barrel, batch: written(barrel.batch, 'topped', 31 * day) };
    call(played, topped, [], start + 31 * day);
    runTo(played, topped, start + 59 * day);
    expect(heardOf(played)).toEqual(['overdue-topping raised', 'overdue-topping returned']);
    runTo(played, topped, start + 62 * day);
    expect(heardOf(played).slice(2)).toEqual(['overdue-test raised', 'overdue-topping raised']);
    expect(played.told.at(-1)?.at).toBe(start + 61 * day);
  });

  test('ale in wood needs no test of sulphur dioxide', () => {
    const ale = { ...barrel, batch: batchIn('ageing', 'ale') };
    expect(heardOf(play(ale, [], 70 * day))).toEqual(['overdue-topping raised']);
  });

  const old = {
    ...barrel,
    batch: {
      ...barrel.batch,
      limits: {
        ageing: { leastAgeSeconds: 90 * day, toppingSeconds: null, testingSeconds: null },
      },
    },
  };

  test('the least age is told when it is reached, once', () => {
    const played = play(old, [], 200 * day);
    expect(heardOf(played)).toEqual(['age-reached']);
    expect(toldAt(played, 'age-reached')).toBe(90 * day);
    call(played, { ...old, batch: { ...old.batch, stage: 'blending' } }, [], start + 201 * day);
    expect(heardOf(played)).toEqual(['age-reached']);
  });

  test.each([
    ['moved on', { ...old, batch: { ...old.batch, stage: 'blending' as const } }],
    ['ended', { ...old, batch: null }],
  ])('a batch that is %s before its age draws a warning and no refusal', (_, after) => {
    const played = play(old, [], 60 * day);
    call(played, after, [], start + 60 * day);
    expect(heardOf(played)).toEqual(['drawn-early']);
    expect(played.told[0]?.evidence).toMatch(/30 days before the least age/);
    call(played, after, [], start + 61 * day);
    expect(heardOf(played)).toHaveLength(1);
  });

  test('10 to 16 °C, where neither batch nor vessel says otherwise (general cellar guides)', () => {
    const warm = readings('temperature', hour, 0, 5 * hour, (s) => (s < 2 * hour ? 13 : 18));
    expect(heardOf(play(barrel, warm, 5 * hour))).toEqual(['temperature raised']);
    const named = {
      ...barrel,
      vessel: vesselOf('barrel', { temperatureBand: { lowCelsius: 8, highCelsius: 20 } }),
    };
    expect(heardOf(play(named, warm, 5 * hour))).toEqual([]);
  });
});

describe('conditioning', () => {
  const tank = { vessel: vesselOf('bright-tank'), batch: batchIn('conditioning') };
  const gravity = (value: (seconds: number) => number, until: number) =>
    readings('gravity', quarter, 0, until, value);
  /** A float's noise of 0.0004 SG, the same each time. */
  const noise = (seconds: number): number => 0.0004 * Math.sin(seconds * 12.9898);

  test('a gravity that stands still is quiet for two weeks', () => {
    const played = play(
      tank,
      gravity((s) => 1.011 + noise(s), 14 * day),
      14 * day,
    );
    expect(heardOf(played)).toEqual([]);
  });

  test('2 points of fall after the finish are told; the limit is 1.5 (stable: at most 0.1 °P, common practice)', () => {
    const falling = (s: number): number => 1.011 + noise(s) - 0.002 * Math.min(1, s / (4 * day));
    const played = play(tank, gravity(falling, 6 * day), 6 * day);
    expect(heardOf(played)).toEqual(['gravity-movement raised']);
    const raised = toldAt(played, 'gravity-movement raised') ?? 0;
    expect(raised).toBeGreaterThan(2 * day);
    expect(raised).toBeLessThan(4.2 * day);
  });

  test('hand samples alone show it too', () => {
    const sample = (days: number, read: number) => ({
      time: start + days * day,
      gravity: read,
      readingGravity: read,
      sampleTemperatureCelsius: 20,
      ph: null,
      by: 'Ingrith Vane',
      note: null,
    });
    const first = { ...tank, batch: { ...tank.batch, samples: [sample(1, 1.012)] } };
    const played = play(tank, [], day);
    call(played, first, [], start + day);
    const second = {
      ...tank,
      batch: { ...tank.batch, samples: [sample(1, 1.012), sample(5, 1.01)] },
    };
    call(played, second, [], start + 5 * day);
    expect(heardOf(played)).toEqual(['gravity-movement raised']);
  });

  test('a float that reads lower in a warmer drink is not taken for fermentation', () => {
    // Water of 20 °C is 1.8 points lighter than water of 4 °C.
    const warmth = (s: number): number =>
      s < 2 * day ? 4 : Math.min(20, 4 + (s - 2 * day) / hour);
    const points = [
      ...gravity((s) => 1.011 + noise(s) - (0.0018 * (warmth(s) - 4)) / 16, 5 * day),
      ...readings('temperature', quarter, 0, 5 * day, warmth),
    ].sort((one, other) => one.time - other.time);
    expect(heardOf(play(tank, points, 5 * day))).toEqual([]);
  });
});
