/** FDA Food Code 2009 sections 3-501.16, .17 and .19, and 21 CFR 114.3. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type SteepReading, steepClock } from '../../src/science/steep-clock.ts';
import { right } from './right.ts';

const hour = 3600;
const at = (hours: number, temperatureCelsius: number): SteepReading => ({
  timeSeconds: hours * hour,
  temperatureCelsius,
});
const clock = (readings: readonly SteepReading[], nowHours: number, pH: number | null = null) =>
  right(steepClock({ startedAtSeconds: 0, nowSeconds: nowHours * hour, readings, pH }));

describe('clock of a cold steep', () => {
  test('3-501.17: cold all along, it has until the seventh day', () => {
    const got = clock([at(0, 4), at(20, 4)], 20);
    expect(got.kind).toBe('cold');
    expect(got.dueAtSeconds).toBe(6 * 24 * hour);
    expect(clock([at(0, 4), at(144, 4)], 145).kind).toBe('over');
  });

  test('3-501.19: begun warm, 4 h', () => {
    const got = clock([at(0, 18), at(3, 18)], 3);
    expect(got).toMatchObject({ kind: 'out-of-cold', warmLimitSeconds: 4 * hour });
    expect(got.dueAtSeconds).toBe(4 * hour);
    expect(clock([at(0, 18), at(4, 18)], 4.1).kind).toBe('over');
  });

  test('3-501.19: begun at 5 °C and never past 21 °C, 6 h', () => {
    const got = clock([at(0, 5), at(1, 5), at(2, 15), at(6, 15)], 6);
    expect(got).toMatchObject({ kind: 'out-of-cold', warmLimitSeconds: 6 * hour });
    expect(got.warmSeconds).toBeCloseTo(5 * hour, 6);
    expect(clock([at(0, 5), at(1, 22), at(3, 22)], 3).warmLimitSeconds).toBe(4 * hour);
  });

  test('time above 5 °C is cut at the crossing and never given back', () => {
    const got = clock([at(0, 3), at(2, 7), at(4, 3), at(10, 3)], 10);
    expect(got.kind).toBe('cold');
    expect(got.warmSeconds).toBeCloseTo(2 * hour, 6);
  });

  test('silence after the last reading runs on at its temperature', () => {
    expect(clock([at(0, 12)], 5).kind).toBe('over');
    expect(clock([at(0, 4)], 5).kind).toBe('cold');
  });

  test('21 CFR 114.3: pH 4.6 is acid, and lengthens nothing', () => {
    const acid = clock([at(0, 12)], 2, 4.6);
    const low = clock([at(0, 12)], 2, 5.2);
    expect(acid.acid).toBe(true);
    expect(low.acid).toBe(false);
    expect(acid.dueAtSeconds).toBe(low.dueAtSeconds);
    expect(low.words).toContain('dangerous bacteria');
    expect(clock([at(0, 12)], 2).acid).toBeNull();
  });

  test('colder never shortens the time, and more silence never lengthens it', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 0, max: 25, noNaN: true }), { minLength: 2, maxLength: 12 }),
        fc.double({ min: 0, max: 5, noNaN: true }),
        (course, colder) => {
          const readings = course.map((celsius, index) => at(index, celsius));
          const chilled = readings.map((one) => ({
            ...one,
            temperatureCelsius: one.temperatureCelsius - colder,
          }));
          const warm = clock(readings, course.length);
          const cool = clock(chilled, course.length);
          expect(cool.warmSeconds).toBeLessThanOrEqual(warm.warmSeconds + 1e-6);
          expect(cool.dueAtSeconds).toBeGreaterThanOrEqual(warm.dueAtSeconds - 1e-6);
          expect(clock(readings, course.length + 1).warmSeconds).toBeGreaterThanOrEqual(
            warm.warmSeconds - 1e-6,
          );
        },
      ),
    );
  });

  test('no reading, no verdict; readings out of order are refused', () => {
    expect(
      steepClock({ startedAtSeconds: 0, nowSeconds: hour, readings: [], pH: null }),
    ).toMatchObject({ ok: false, fault: { kind: 'no-solution' } });
    expect(
      steepClock({
        startedAtSeconds: 0,
        nowSeconds: 9 * hour,
        readings: [at(5, 4), at(2, 4)],
        pH: null,
      }),
    ).toMatchObject({ ok: false, fault: { field: 'timeSeconds' } });
  });
});
