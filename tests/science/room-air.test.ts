import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  afterSuddenRelease,
  airChangesToStayBelow,
  airLimits,
  roomAir,
} from '../../src/science/room-air.ts';
import { right } from './right.ts';

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const rooms = fc.record({
  gasLitrePerHour: between(1, 5000),
  roomVolumeCubicMetre: between(5, 500),
  airChangesPerHour: between(0.05, 10),
  startPpm: fc.constant(null),
});

describe('air of a room', () => {
  test('settles where the gas in equals the gas out', () => {
    fc.assert(
      fc.property(rooms, (room) => {
        const got = right(roomAir(room, 1000));
        fc.pre(got.settledPpm !== null && got.settledPpm < 1e6);
        const out =
          ((got.settledPpm ?? 0) - 430) *
          1e-6 *
          room.roomVolumeCubicMetre *
          1000 *
          room.airChangesPerHour;
        expect(out).toBeCloseTo(room.gasLitrePerHour, 6);
        expect(got.afterHoursPpm).toBeCloseTo(got.settledPpm ?? 0, 3);
      }),
    );
  });

  test('at the hour a limit is reached, the level is the limit', () => {
    fc.assert(
      fc.property(rooms, (room) => {
        const { hoursToWorkingDayLimit: hours } = right(roomAir(room, 1));
        fc.pre(hours !== null && hours < 1000);
        expect(right(roomAir(room, hours ?? 0)).afterHoursPpm).toBeCloseTo(
          airLimits.workingDayPpm,
          3,
        );
      }),
    );
  });

  test('the air changes asked for keep it at the limit', () => {
    fc.assert(
      fc.property(rooms, (room) => {
        const changes = right(
          airChangesToStayBelow(room.gasLitrePerHour, room.roomVolumeCubicMetre, 5000),
        );
        fc.pre(changes > 0 && changes <= 60);
        const got = right(roomAir({ ...room, airChangesPerHour: changes }, 1));
        expect(got.settledPpm).toBeCloseTo(5000, 6);
      }),
    );
  });

  test('without air it rises without end, by litres over cubic metres', () => {
    const got = right(
      roomAir(
        { gasLitrePerHour: 60, roomVolumeCubicMetre: 30, airChangesPerHour: 0, startPpm: 430 },
        2,
      ),
    );
    expect(got.settledPpm).toBeNull();
    expect(got.afterHoursPpm).toBeCloseTo(430 + 4000, 6);
  });

  test('a keg let go in a small closed room passes the danger line', () => {
    // 50 L at 2.6 volumes: 130 L of gas into 3 m3.
    expect(right(afterSuddenRelease(130, 3))).toBeGreaterThan(airLimits.dangerousPpm);
    expect(right(afterSuddenRelease(0, 3))).toBeCloseTo(430, 9);
  });

  test('oxygen passes 19.5 % only when carbon dioxide stands near 7 %, long past its own limits', () => {
    const got = right(
      roomAir(
        { gasLitrePerHour: 0, roomVolumeCubicMetre: 30, airChangesPerHour: 0, startPpm: 69_000 },
        0,
      ),
    );
    expect(Math.abs(got.afterHoursOxygenFraction - airLimits.oxygenFraction)).toBeLessThan(1e-3);
  });

  test('the limits are those of NIOSH 1994 and 30 CFR 75.321', () => {
    expect(airLimits).toEqual({
      workingDayPpm: 5000,
      shortTermPpm: 30_000,
      dangerousPpm: 40_000,
      oxygenFraction: 0.195,
    });
  });
});
