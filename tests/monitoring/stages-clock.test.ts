/**
 * Clocks of all stages as properties: each runs out exactly once whatever the spacing of calls, by the clock alone at
 * the very second it is due; any order of arrival within the window of lateness ends in the same state; the state
 * stays small and the watch never asks to be woken for nothing.
 */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { nextDue } from '../../src/monitoring/watch.ts';
import type { Point, Watched } from '../../src/monitoring/watched.ts';
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

type Clocked = {
  readonly name: string;
  readonly watched: Watched;
  /** What is read once, at the start. */
  readonly first: readonly Point[];
  readonly told: string;
  readonly due: number;
};

const celsius = (value: number): readonly Point[] => [
  { channel: 'temperature', time: start, value },
];

const clocks: readonly Clocked[] = [
  {
    name: 'mash rest',
    watched: { vessel: vesselOf('mash-tun'), batch: batchIn('mash-rest') },
    first: celsius(65),
    told: 'time-reached raised',
    due: hour,
  },
  {
    name: 'boil',
    watched: { vessel: vesselOf('kettle'), batch: batchIn('boil') },
    first: celsius(100),
    told: 'time-reached raised',
    due: hour,
  },
  {
    name: 'heating up to the boil',
    watched: { vessel: vesselOf('kettle'), batch: batchIn('boil') },
    first: celsius(75),
    told: 'not-boiling raised',
    due: hour,
  },
  {
    name: 'cooling',
    watched: { vessel: vesselOf('fermenter'), batch: batchIn('cooling') },
    first: celsius(60),
    told: 'slow-cooling raised',
    due: 2 * hour,
  },
  {
    name: 'cold steep',
    watched: { vessel: vesselOf('steeping-tank'), batch: batchIn('cold-steep', 'infusion') },
    first: celsius(4),
    told: 'time-reached raised',
    due: day,
  },
  {
    name: 'food safety, warm',
    watched: { vessel: vesselOf('steeping-tank'), batch: batchIn('cold-steep', 'infusion') },
    first: celsius(18),
    told: 'food-safety raised',
    due: 4 * hour,
  },
  {
    name: 'food safety, cold',
    watched: { vessel: vesselOf('steeping-tank'), batch: batchIn('cold-steep', 'infusion') },
    first: celsius(4),
    told: 'food-safety raised',
    due: 6 * day,
  },
  {
    name: 'topping',
    watched: { vessel: vesselOf('barrel'), batch: batchIn('ageing', 'wine') },
    first: [],
    told: 'overdue-topping raised',
    due: 30 * day,
  },
  {
    name: 'test of sulphur dioxide',
    watched: { vessel: vesselOf('barrel'), batch: batchIn('ageing', 'wine') },
    first: [],
    told: 'overdue-test raised',
    due: 60 * day,
  },
  {
    name: 'least age',
    watched: {
      vessel: vesselOf('barrel'),
      batch: batchIn('ageing', 'wine', { limits: { ageing: { leastAgeSeconds: 90 * day } } }),
    },
    first: [],
    told: 'age-reached',
    due: 90 * day,
  },
];

describe('clocks', () => {
  test.each(clocks)(
    '$name: by the clock alone, at its second, once',
    ({ watched, first, told, due }) => {
      const played = play(watched, first, 2 * due);
      expect(toldAt(played, told)).toBe(due);
      expect(heardOf(played).filter((what) => what === told)).toHaveLength(1);
      expect(played.wakes).toBeLessThan(20);
    },
  );

  test.each(clocks)(
    '$name: once, whatever the spacing of calls',
    ({ watched, first, told, due }) => {
      fc.assert(
        fc.property(
          fc.array(fc.double({ min: 0, max: 2, noNaN: true }), { minLength: 1, maxLength: 40 }),
          (shares) => {
            const played = begin(watched);
            call(played, watched, first, start);
            const moments = [...shares, 2].map((share) => start + Math.round(share * due));
            for (const now of moments.sort((one, other) => one - other))
              call(played, watched, [], now);
            expect(heardOf(played).filter((what) => what === told)).toHaveLength(1);
            // The first call that is not too early.
            const want = moments.find((now) => now >= start + due);
            expect(toldAt(played, told)).toBe((want ?? 0) - start);
          },
        ),
        { numRuns: 50 },
      );
    },
  );

  test.each(clocks)('$name: what is due is never in the past twice', ({ watched, first, due }) => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 3, noNaN: true }), (share) => {
        const played = begin(watched);
        call(played, watched, first, start);
        const now = start + Math.round(share * due);
        call(played, watched, [], now);
        // After a call at a moment, the next wake-up lies later.
        expect(nextDue(watched, played.state, now) ?? Number.POSITIVE_INFINITY).toBeGreaterThan(
          now,
        );
      }),
      { numRuns: 30 },
    );
  });
});

describe('order of arrival', () => {
  const stages: readonly (readonly [string, Watched, (seconds: number) => readonly Point[]])[] = [
    [
      'mash rest',
      { vessel: vesselOf('mash-tun'), batch: batchIn('mash-rest') },
      (s) => [{ channel: 'temperature', time: start + s, value: 64 + 5 * Math.sin(s / 900) }],
    ],
    [
      'cold steep',
      { vessel: vesselOf('steeping-tank'), batch: batchIn('cold-steep', 'infusion') },
      (s) => [{ channel: 'temperature', time: start + s, value: 5 + 4 * Math.sin(s / 1200) }],
    ],
    [
      'workroom',
      { vessel: vesselOf('room'), batch: null },
      (s) => [
        { channel: 'carbon-dioxide', time: start + s, value: 5000 + 4000 * Math.sin(s / 1500) },
      ],
    ],
  ];

  test.each(stages)(
    '%s: within a quarter of an hour it ends in the same state',
    (_, watched, at) => {
      const points = Array.from({ length: 90 }, (__, index) => at(index * minute)).flat();
      const ends = start + 2 * hour;
      const straight = begin(watched);
      for (const point of points) call(straight, watched, [point], point.time);
      runTo(straight, watched, ends);
      let compared = 0;
      fc.assert(
        fc.property(
          fc.array(fc.integer({ min: 0, max: 14 }), { minLength: 90, maxLength: 90 }),
          (late) => {
            const arrivals = points
              .map((point, index) => ({ point, at: point.time + (late[index] ?? 0) * minute }))
              .sort((one, other) => one.at - other.at);
            const shuffled = begin(watched);
            for (const { point, at: now } of arrivals) call(shuffled, watched, [point], now);
            runTo(shuffled, watched, ends);
            const { judgedAt: _one, ...same } = straight.state.stages;
            const { judgedAt: _other, ...other } = shuffled.state.stages;
            expect(other).toEqual(same);
            compared += 1;
          },
        ),
        { numRuns: 25 },
      );
      expect(compared).toBe(25);
    },
  );
});

test('what is remembered of a stage stays under 4 kB over a month of readings a minute', () => {
  const cases = [
    { vessel: vesselOf('steeping-tank'), batch: batchIn('cold-steep', 'infusion') },
    { vessel: vesselOf('keg', { reliefGaugePressurePascal: 90_000 }), batch: batchIn('keg') },
    { vessel: vesselOf('barrel'), batch: batchIn('ageing', 'wine') },
  ];
  for (const watched of cases) {
    const played = begin(watched);
    for (let s = 0; s < 30 * day; s += 2 * hour) {
      const points = [
        ...readings('temperature', minute, s, s + 30 * minute, (t) => 4 + 3 * Math.sin(t / 5000)),
        ...readings(
          'gauge-pressure',
          minute,
          s,
          s + 30 * minute,
          (t) => 85_000 + 8000 * Math.sin(t / 300),
        ),
      ];
      call(played, watched, points, start + s + 30 * minute);
    }
    expect(JSON.stringify(played.state.stages).length).toBeLessThan(4000);
    expect(JSON.parse(JSON.stringify(played.state))).toEqual(played.state);
  }
});
