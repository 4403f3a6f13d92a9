/**
 * Mash rest, boil, cooling and pitching against published limits: Rittenauer et al., Foods 10 (2021) 1733;
 * boiling point by steam tables; H. McGee, On Food and Cooking. Common practice is named as such.
 */
import { describe, expect, test } from 'vitest';
import { boilingPointAt } from '../../src/monitoring/stages/boil.ts';
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
  runTo,
  start,
  toldAt,
  vesselOf,
} from './stages-run.ts';

const steady = (celsius: number, until: number, from = 0) =>
  readings('temperature', minute, from, until, () => celsius);

describe('mash rest', () => {
  const mash = { vessel: vesselOf('mash-tun'), batch: batchIn('mash-rest') };

  test('60 min at 65 °C, the reference mash of Rittenauer et al., is over after 60 min and says so once', () => {
    const played = play(mash, steady(65, 90 * minute), 2 * hour);
    expect(heardOf(played)).toEqual(['time-reached raised']);
    expect(toldAt(played, 'time-reached raised')).toBe(hour);
    const alarm = statusOf(mash, played.state, played.now).alarms.find(
      ({ kind }) => kind === 'time-reached',
    );
    expect(alarm).toMatchObject({
      priority: 'medium',
      evidence: expect.stringMatching(/60 min of 60 min at 62 °C to 68 °C/),
    });
    expect(alarm?.caution).toMatch(/scald/);
    expect(alarm?.source).toMatch(/Rittenauer/);
  });

  test('only the time inside the band counts: 20 min at 55 °C put the end off by as much', () => {
    // Straight lines of a minute at the edges cross 62 °C after 0.7 of the way down and 0.3 of the way up.
    const course = (seconds: number): number =>
      seconds > 20 * minute && seconds <= 40 * minute ? 55 : 65;
    const played = play(mash, readings('temperature', minute, 0, 2 * hour, course), 2 * hour);
    const reached = toldAt(played, 'time-reached raised') ?? 0;
    expect(reached - hour).toBeGreaterThan(19 * minute);
    expect(reached - hour).toBeLessThan(21 * minute);
    // Five minutes out of the band are enough for a mash.
    expect(toldAt(played, 'temperature raised')).toBe(26 * minute);
  });

  test('without a thermometer plain time counts, and says that it does', () => {
    const played = play(mash, [], 3 * hour);
    expect(heardOf(played)).toEqual(['time-reached raised']);
    expect(toldAt(played, 'time-reached raised')).toBe(hour);
    expect(played.told[0]?.evidence).toMatch(/by the clock alone/);
  });

  test('silence after the last reading lets the clock run on', () => {
    const played = play(mash, steady(65, 10 * minute), 2 * hour);
    expect(toldAt(played, 'time-reached raised')).toBe(hour);
  });

  test('75 °C for two minutes overshoots; a single hot reading does not', () => {
    const hot = (from: number, until: number) => (seconds: number) =>
      seconds >= from && seconds <= until ? 75 : 65;
    const stray = play(
      mash,
      readings('temperature', minute, 0, 30 * minute, hot(10 * minute, 10 * minute)),
      30 * minute,
    );
    expect(heardOf(stray)).toEqual([]);
    const real = play(
      mash,
      readings('temperature', minute, 0, 30 * minute, hot(10 * minute, 13 * minute)),
      30 * minute,
    );
    expect(heardOf(real)).toEqual(['overshoot raised', 'overshoot returned']);
    expect(toldAt(real, 'overshoot raised')).toBe(12 * minute);
    // A pack of quarter-hourly readings that arrives at once is judged by when each was measured.
    const packed = begin(mash);
    const pack = readings('temperature', minute, 0, 14 * minute, hot(10 * minute, 13 * minute));
    call(packed, mash, pack, start + 14 * minute);
    expect(heardOf(packed)).toEqual(['overshoot raised']);
  });
});

describe('boil', () => {
  test('the boiling point is that of the steam tables', () => {
    // 101.325 kPa: 99.97 °C; 84.5 kPa: 95.0 °C; 70.1 kPa: 90.0 °C (saturation tables, from memory).
    expect(boilingPointAt(101_325)).toBeCloseTo(99.97, 1);
    expect(boilingPointAt(84_530)).toBeCloseTo(95, 1);
    expect(boilingPointAt(70_140)).toBeCloseTo(90, 1);
  });

  const kettle = { vessel: vesselOf('kettle'), batch: batchIn('boil') };
  /** From 75 °C a degree a minute, then the boil. */
  const heating = (boils: number) => (seconds: number) => Math.min(boils, 75 + seconds / minute);

  test('the clock counts boiling only', () => {
    const course = readings('temperature', minute, 0, 2 * hour, heating(99.8));
    const played = play(kettle, course, 2 * hour);
    expect(heardOf(played)).toEqual(['time-reached raised']);
    // 97.97 °C is two degrees below the boiling point; it is reached after 22.97 min.
    expect((toldAt(played, 'time-reached raised') ?? 0) / minute).toBeCloseTo(82.97, 1);
  });

  test('at 1500 m wort boils at 95 °C, and at sea level 95 °C is no boil', () => {
    const high = {
      ...kettle,
      batch: { ...kettle.batch, limits: { boil: { heightMetre: 1500 } } },
    };
    const course = readings('temperature', minute, 0, 2 * hour, heating(94.9));
    expect(heardOf(play(high, course, 2 * hour))).toEqual(['time-reached raised']);
    const low = play(kettle, course, 2 * hour);
    expect(heardOf(low)).toEqual(['not-boiling raised']);
    expect(toldAt(low, 'not-boiling raised')).toBe(hour);
    expect(low.told[0]?.evidence).toMatch(/has not boiled in the 60 min/);
  });

  test('a boil that goes out for five minutes is told, and returns when it boils again', () => {
    const course = (seconds: number): number =>
      seconds >= 40 * minute && seconds < 50 * minute ? 93 : heating(99.8)(seconds);
    const played = play(kettle, readings('temperature', minute, 0, 2 * hour, course), 2 * hour);
    expect(heardOf(played)).toEqual([
      'not-boiling raised',
      'not-boiling returned',
      'time-reached raised',
    ]);
    const raised = toldAt(played, 'not-boiling raised') ?? 0;
    expect(raised).toBeGreaterThan(44 * minute);
    expect(raised).toBeLessThanOrEqual(46 * minute);
  });

  test('when the boil has had its time, turning off the heat is no alarm', () => {
    const course = (seconds: number): number =>
      seconds > 100 * minute ? 85 : heating(99.8)(seconds);
    const played = play(kettle, readings('temperature', minute, 0, 3 * hour, course), 3 * hour);
    expect(heardOf(played)).toEqual(['time-reached raised']);
  });
});

describe('cooling and pitching', () => {
  const cooling = { vessel: vesselOf('fermenter'), batch: batchIn('cooling') };
  /** Newton's law towards 10 °C with half an hour, or with three. */
  const falling = (tauHours: number) => (seconds: number) =>
    10 + 88 * Math.exp(-seconds / (tauHours * hour));

  test('25 °C within two hours is told as ready to pitch (25 °C: McGee; 2 h: common practice)', () => {
    const course = readings('temperature', minute, 0, 3 * hour, falling(0.5));
    const played = play(cooling, course, 3 * hour);
    expect(heardOf(played)).toEqual(['ready-to-pitch']);
    const exact = 0.5 * hour * Math.log(88 / 15);
    expect(toldAt(played, 'ready-to-pitch') ?? 0).toBeGreaterThanOrEqual(exact);
    expect(toldAt(played, 'ready-to-pitch') ?? 0).toBeLessThan(exact + minute);
  });

  test('slower than that is an alarm at two hours, which returns when it is cool', () => {
    const course = readings('temperature', 5 * minute, 0, 8 * hour, falling(3));
    const played = play(cooling, course, 8 * hour);
    expect(heardOf(played)).toEqual([
      'slow-cooling raised',
      'slow-cooling returned',
      'ready-to-pitch',
    ]);
    expect(toldAt(played, 'slow-cooling raised')).toBe(2 * hour);
  });

  test('a sensor that says nothing does not hide that it takes too long', () => {
    const played = play(cooling, [], 4 * hour);
    expect(heardOf(played)).toEqual(['slow-cooling raised']);
  });

  test('fermentation begun at 31 °C is too warm to pitch; one that was cool first is not', () => {
    const warm = begin(cooling);
    play(cooling, steady(31, hour), hour, warm);
    const pitched = {
      ...cooling,
      batch: { ...cooling.batch, stage: 'fermentation' as const, stageStartedAt: start + hour },
    };
    call(warm, pitched, [], start + hour);
    runTo(warm, pitched, start + 3 * hour);
    expect(heardOf(warm)).toEqual(['too-warm-to-pitch raised']);
    expect(warm.told.find(({ kind }) => kind === 'too-warm-to-pitch')?.evidence).toMatch(
      /31 °C, 6 °C above the 25 °C for pitching/,
    );

    const cool = begin(cooling);
    play(cooling, steady(20, hour), hour, cool);
    call(cool, pitched, [], start + hour);
    play(pitched, steady(31, 2 * hour, 61 * minute), 3 * hour, cool);
    expect(heardOf(cool)).toEqual(['ready-to-pitch']);
  });

  test('a batch whose band is watched from the start has one alarm for one fact', () => {
    const banded = {
      vessel: vesselOf('fermenter'),
      batch: batchIn('fermentation', 'ale', {
        temperatureBand: { lowCelsius: 17, highCelsius: 22 },
      }),
    };
    expect(heardOf(play(banded, steady(30, 3 * hour), 3 * hour))).toEqual(['temperature raised']);
  });
});
