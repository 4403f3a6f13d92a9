/**
 * Temperature of a fermentation without a band: falls that stop yeast are told within a day, whatever their pace; what
 * cellars do on ordinary days is not. Courses are ours: gravity as a logistic curve, temperature by Newton's law.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { dice } from '../../src/host/simulated/dice.ts';
import type { Watched } from '../../src/monitoring/watched.ts';
import { hectolitreFermenter } from './hectolitre-fermenter.ts';
import { replayed } from './simulated/replay.ts';

const start = 1_770_000_000;

/** An ale of 1.052 to 1.012, half done after so many hours; the brewer's estimate may lie beside it. */
const watchedWith = (estimate: number | null): Watched => ({
  vessel: hectolitreFermenter,
  batch: {
    batch: 'gyle-3',
    title: 'Gyle 3',
    drink: 'ale',
    stage: 'fermentation',
    startedAt: start,
    endedAt: null,
    originalGravity: 1.052,
    expectedTerminalGravity: estimate,
    attenuationLimit: null,
    temperatureBand: null,
    carbonationVolumes: null,
  },
});

const halfHour = 44;
const spread = 9;

/** Share of the fall at an hour; it ends there and then where the yeast is stopped. */
const shareAt = (hour: number, stops = Number.POSITIVE_INFINITY): number =>
  1 / (1 + Math.exp(-(Math.min(hour, stops) - halfHour) / spread));

type Course = {
  readonly temperature: (hour: number) => number;
  readonly stops?: number;
  readonly hours?: number;
  readonly everyMinutes?: number;
  readonly estimate?: number | null;
};

/** Hours at which the temperature was alarmed. */
const alarmed = ({
  temperature,
  stops,
  hours = 240,
  everyMinutes = 30,
  estimate = 1.012,
}: Course): readonly number[] => {
  const roll = dice(20_011);
  const packs = Array.from({ length: (hours * 60) / everyMinutes }, (_, step) => {
    const hour = (step * everyMinutes) / 60;
    const time = start + hour * 3600;
    const gravity = 1.052 - 0.04 * shareAt(hour, stops) + roll.normal(0, 0.0006);
    return [
      { channel: 'gravity' as const, time, value: gravity },
      { channel: 'temperature' as const, time, value: temperature(hour) + roll.normal(0, 0.15) },
    ];
  });
  return replayed(watchedWith(estimate), packs, start, start + hours * 3600)
    .filter(({ kind }) => kind === 'temperature')
    .map(({ at }) => (at - start) / 3600);
};

/** Towards another temperature from an hour on, by Newton's law. */
const towards = (from: number, to: number, hour: number, since: number, tau: number): number =>
  hour < since ? from : to + (from - to) * Math.exp(-(hour - since) / tau);

describe('a fall that stops yeast', () => {
  it('is told within a day, whatever its depth and pace, and not before', () => {
    let crashes = 0;
    fc.assert(
      fc.property(
        fc.double({ min: 6, max: 14, noNaN: true }),
        fc.double({ min: 3, max: 12, noNaN: true }),
        fc.double({ min: 36, max: 56, noNaN: true }),
        fc.double({ min: 0, max: 3.5, noNaN: true }),
        fc.constantFrom(15, 30, 60),
        (depth, tau, cause, heat, everyMinutes) => {
          crashes += 1;
          const own = (hour: number): number =>
            heat * 4 * shareAt(hour) * (1 - shareAt(hour)) * (hour < cause ? 1 : 0.3);
          const [first, ...more] = alarmed({
            temperature: (hour) => own(hour) + towards(19, 19 - depth, hour, cause, tau),
            stops: cause + 8,
            hours: cause + 60,
            everyMinutes,
          });
          expect(first).toBeGreaterThanOrEqual(cause);
          expect(first).toBeLessThanOrEqual(cause + 24);
          expect(more).toEqual([]);
        },
      ),
      { numRuns: 25 },
    );
    expect(crashes).toBe(25);
  });

  it('is told from one reading a day, an hour after the reading that shows it', () => {
    const temperature = (hour: number): number => towards(19, 9, hour, 62, 6);
    const told = alarmed({ temperature, stops: 70, hours: 150, everyMinutes: 1440 });
    expect(told).toHaveLength(1);
    expect(told[0]).toBeLessThanOrEqual(72 + 1);
  });

  it('is told though the brewer expects a higher end than the drink has reached', () => {
    const temperature = (hour: number): number => towards(19, 9, hour, 56, 8);
    const told = alarmed({ temperature, stops: 64, estimate: 1.022 });
    expect(told).toHaveLength(1);
    expect(told[0]).toBeLessThanOrEqual(56 + 24);
  });

  it('is over when the drink is warm again', () => {
    const temperature = (hour: number): number =>
      hour < 90 ? towards(19, 9, hour, 46, 6) : towards(9, 19, hour, 90, 6);
    const roll = dice(20_012);
    const changes: string[] = [];
    // Through the watch itself, for the return.
    const packs = Array.from({ length: 300 }, (_, step) => {
      const hour = step / 2;
      return [
        {
          channel: 'gravity' as const,
          time: start + hour * 3600,
          value: 1.052 - 0.04 * shareAt(hour, 54) + roll.normal(0, 0.0006),
        },
        { channel: 'temperature' as const, time: start + hour * 3600, value: temperature(hour) },
      ];
    });
    replayed(watchedWith(1.012), packs, start, start + 150 * 3600, ({ changes: told }) => {
      for (const { transition, alarm } of told)
        if (alarm.kind === 'temperature') changes.push(transition);
    });
    expect(changes).toEqual(['raised', 'returned']);
  });
});

describe('an ordinary day', () => {
  const calm: readonly (readonly [string, Course])[] = [
    [
      'heat of fermentation that ends, 4.5 °C of it',
      { temperature: (hour) => 18 + 4.5 * 4 * shareAt(hour) * (1 - shareAt(hour)) },
    ],
    [
      'a door that stands open for two hours, ten degrees colder outside',
      {
        temperature: (hour) =>
          hour < 40
            ? 19
            : hour < 42
              ? towards(19, 9, hour, 40, 12)
              : towards(19 - 1.54, 19, hour, 42, 12),
      },
    ],
    [
      'a probe lifted out for three quarters of an hour',
      { temperature: (hour) => (hour >= 45 && hour < 45.75 ? 9 : 19), everyMinutes: 15 },
    ],
    [
      'day and night, 5 °C apart',
      { temperature: (hour) => 19 + 2.5 * Math.sin((2 * Math.PI * hour) / 24) },
    ],
    [
      'a rest against diacetyl, and cooling after it by 2 °C a day',
      {
        temperature: (hour) =>
          hour < 66 ? 11 : hour < 120 ? 16 : Math.max(3, 16 - (2 * (hour - 120)) / 24),
        hours: 300,
      },
    ],
    [
      'a cold crash a day and a half after the finish',
      { temperature: (hour) => towards(19, 2, hour, 44 + 5 * spread + 36, 8) },
    ],
    [
      'the same where the brewer expected six points less',
      { temperature: (hour) => towards(19, 2, hour, 44 + 5 * spread + 36, 8), estimate: 1.006 },
    ],
    [
      'wort that is still on its way to pitching temperature',
      { temperature: (hour) => towards(26, 18, hour, 0, 6) },
    ],
  ];

  it.each(calm)('does not alarm: %s', (_, course) => {
    expect(alarmed(course)).toEqual([]);
  });
});
