/**
 * Hours on a local clock. Outside truth: the IANA time zone database as the platform carries it, by known
 * changes of the clock (Great Britain 2026-03-29 01:00 UTC forward and 2026-10-25 01:00 UTC back; Lord Howe
 * Island changes by half an hour), and a search minute by minute.
 */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  type DutyHours,
  isZone,
  nextWithinHours,
  weekdays,
  withinHours,
} from '../../src/monitoring/alarms/duty-hours.ts';

const at = (text: string): number => Date.parse(text) / 1000;
const everyDay = weekdays;

const hours = (change: Partial<DutyHours>): DutyHours => ({
  zone: 'Europe/London',
  from: '08:00',
  to: '18:00',
  days: everyDay,
  ...change,
});

describe('within hours', () => {
  test('is told by the clock of the place, in winter and in summer', () => {
    const working = hours({});
    expect(withinHours(working, at('2026-01-15T08:00:00Z'))).toBe(true);
    expect(withinHours(working, at('2026-01-15T07:59:59Z'))).toBe(false);
    expect(withinHours(working, at('2026-07-15T07:00:00Z'))).toBe(true);
    expect(withinHours(working, at('2026-07-15T17:00:00Z'))).toBe(false);
    const kolkata = hours({ zone: 'Asia/Kolkata' });
    expect(withinHours(kolkata, at('2026-01-15T02:30:00Z'))).toBe(true);
    expect(withinHours(kolkata, at('2026-01-15T02:29:00Z'))).toBe(false);
  });

  test('a night counts to the day on which it began', () => {
    // 2026-01-16 is a Friday.
    const night = hours({ from: '22:00', to: '06:00', days: ['friday'] });
    expect(withinHours(night, at('2026-01-16T21:59:00Z'))).toBe(false);
    expect(withinHours(night, at('2026-01-16T22:00:00Z'))).toBe(true);
    expect(withinHours(night, at('2026-01-17T05:59:00Z'))).toBe(true);
    expect(withinHours(night, at('2026-01-17T06:00:00Z'))).toBe(false);
    expect(withinHours(night, at('2026-01-16T03:00:00Z'))).toBe(false);
  });

  test('hours that end when they begin are whole days', () => {
    const weekend = hours({ from: '00:00', to: '00:00', days: ['saturday', 'sunday'] });
    expect(withinHours(weekend, at('2026-01-17T00:00:00Z'))).toBe(true);
    expect(withinHours(weekend, at('2026-01-18T23:59:00Z'))).toBe(true);
    expect(withinHours(weekend, at('2026-01-19T00:00:00Z'))).toBe(false);
  });
});

describe('the next moment within hours', () => {
  test('is found over the changes of the clock', () => {
    const early = hours({ from: '01:30', to: '02:30' });
    // At 01:00 UTC the clock leaps from 01:00 to 02:00: 01:30 does not come, 02:00 lies within.
    expect(nextWithinHours(early, at('2026-03-29T00:10:00Z'))).toBe(at('2026-03-29T01:00:00Z'));
    const twice = hours({ from: '01:30', to: '01:45' });
    // On 2026-10-25 01:30 comes at 00:30 UTC and again at 01:30 UTC.
    expect(nextWithinHours(twice, at('2026-10-25T00:00:00Z'))).toBe(at('2026-10-25T00:30:00Z'));
    expect(nextWithinHours(twice, at('2026-10-25T00:50:00Z'))).toBe(at('2026-10-25T01:30:00Z'));
    expect(nextWithinHours(hours({ days: ['monday'] }), at('2026-03-28T12:00:00Z'))).toBe(
      at('2026-03-30T07:00:00Z'),
    );
  });

  test('is the first one: a search minute by minute finds no earlier, in any zone at any time of year', () => {
    const two = (value: number) => String(value).padStart(2, '0');
    const clockTime = fc
      .tuple(fc.integer({ min: 0, max: 23 }), fc.integer({ min: 0, max: 59 }))
      .map(([hour, minute]) => `${two(hour)}:${two(minute)}`);
    let compared = 0;
    fc.assert(
      fc.property(
        fc.constantFrom(
          'Europe/London',
          'America/St_Johns',
          'Australia/Lord_Howe',
          'Asia/Kathmandu',
          'UTC',
        ),
        clockTime,
        clockTime,
        fc.uniqueArray(fc.constantFrom(...weekdays), { minLength: 3, maxLength: 7 }),
        fc.oneof(
          fc.integer({ min: at('2026-01-01T00:00:00Z'), max: at('2027-12-31T00:00:00Z') }),
          // Around the changes of the clock: London, Lord Howe, St John's.
          fc
            .tuple(
              fc.constantFrom(
                at('2026-03-29T01:00:00Z'),
                at('2026-10-25T01:00:00Z'),
                at('2026-10-03T15:30:00Z'),
                at('2026-04-04T15:00:00Z'),
                at('2026-03-08T05:30:00Z'),
              ),
              fc.integer({ min: -30_000, max: 10_000 }),
            )
            .map(([change, off]) => change + off),
        ),
        (zone, from, to, days, start) => {
          const some: DutyHours = { zone, from, to, days };
          const found = nextWithinHours(some, start);
          compared += 1;
          expect(withinHours(some, found)).toBe(true);
          if (found === start) return;
          expect(withinHours(some, start)).toBe(false);
          for (let minute = Math.ceil(start / 60) * 60; minute < found; minute += 60)
            if (withinHours(some, minute)) throw new Error(`${minute} lies within, found ${found}`);
        },
      ),
      { numRuns: 150 },
    );
    expect(compared).toBeGreaterThanOrEqual(150);
  });
});

test.each([
  ['Europe/London', true],
  ['UTC', true],
  ['America/Argentina/Buenos_Aires', true],
  ['+01:00', false],
  ['Hallin/Skerrow', false],
  ['', false],
  ['Europe/London ', false],
])('the zone %j is one: %j', (name, is) => expect(isZone(name)).toBe(is));
