/**
 * What must not change a verdict: the order in which readings arrive within the lateness window, how they are packed,
 * a state that is kept as JSON between any two calls, a clock that is set back, and a sleep through wake-ups.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type Act,
  act,
  beginWatch,
  judge,
  nextDue,
  statusOf,
  type WatchState,
} from '../../src/monitoring/watch.ts';
import type { Point } from '../../src/monitoring/watched.ts';
import { harbourAle } from './harbour-ale.ts';

const start = 1_770_000_300;
const quarter = 900;

const watched = harbourAle(start);

/** A quarter of an hour of readings, and how they come. */
type Quarter = {
  readonly celsius: number;
  readonly stray: readonly (readonly [number, number])[];
  readonly pascal: number | null;
  readonly count: number;
  readonly keys: readonly number[];
  readonly packs: number;
};

const celsius = fc.constantFrom(19, 19, 19.5, 21.8, 22.4, 23, 23.5);

const quarters = (strays: number): fc.Arbitrary<readonly Quarter[]> =>
  fc.array(
    fc.record({
      celsius,
      stray: fc.array(fc.tuple(fc.nat({ max: 7 }), celsius), { maxLength: strays }),
      pascal: fc.option(fc.constantFrom(20_000, 21_000, 60_000, 120_000, 148_000)),
      count: fc.integer({ min: 1, max: 8 }),
      keys: fc.array(fc.nat({ max: 999 }), { minLength: 24, maxLength: 24 }),
      packs: fc.integer({ min: 1, max: 6 }),
    }),
    { minLength: 1, maxLength: 24, size: 'max' },
  );

const pointsOf = (one: Quarter, index: number): readonly Point[] =>
  Array.from({ length: one.count }, (_, place): readonly Point[] => {
    const time = start + index * quarter + Math.floor(((place + 0.5) * quarter) / one.count);
    const value = one.stray.find(([at]) => at === place)?.[1] ?? one.celsius;
    const gravity = Number((1.05 - 0.0001 * index + 0.00003 * place).toFixed(5));
    return [
      { channel: 'temperature', time, value },
      { channel: 'gravity', time, value: gravity },
      ...(one.pascal === null
        ? []
        : [{ channel: 'gauge-pressure', time, value: one.pascal + 10 * place } as const]),
    ];
  }).flat();

const shuffled = (points: readonly Point[], keys: readonly number[]): readonly Point[] =>
  points
    .map((point, index) => [keys[index % keys.length] ?? 0, point] as const)
    .toSorted(([one], [other]) => one - other)
    .map(([, point]) => point);

const inPacks = (points: readonly Point[], packs: number): readonly (readonly Point[])[] => {
  const size = Math.max(1, Math.ceil(points.length / packs));
  return Array.from({ length: Math.ceil(points.length / size) }, (_, index) =>
    points.slice(index * size, (index + 1) * size),
  );
};

type Run = { readonly state: WatchState; readonly told: ReadonlyMap<string, readonly string[]> };

/** Feeds packs that arrive at given moments; the watch is woken for what is due on the way. */
const fed = (
  arrivals: readonly { readonly at: number; readonly points: readonly Point[] }[],
  until: number,
): Run => {
  let state = beginWatch(watched, start);
  const told = new Map<string, readonly string[]>();
  const take = (points: readonly Point[], now: number): void => {
    const verdict = judge(watched, state, points, now);
    state = verdict.state;
    for (const { transition, alarm } of verdict.changes)
      told.set(alarm.alarm, [...(told.get(alarm.alarm) ?? []), transition]);
  };
  let now = start;
  const runTo = (to: number): void => {
    for (;;) {
      const due = nextDue(watched, state, now);
      if (due === null || due > to) break;
      now = Math.max(now, due);
      take([], now);
    }
    now = Math.max(now, to);
  };
  for (const { at, points } of arrivals) {
    runTo(at);
    take(points, now);
  }
  runTo(until);
  take([], now);
  return { state, told };
};

/** What is known of the vessel, apart from when and in what words it was told. */
const known = (state: WatchState, now: number) => {
  const { latest, fermentation, pressure } = statusOf(watched, state, now);
  return { latest, fermentation, pressure, rows: state.chronicle.rows };
};

const holding = (state: WatchState): readonly string[] =>
  Object.entries(state.board)
    .filter(([, { holds }]) => holds)
    .map(([name]) => name)
    .toSorted();

const stateOf = (state: WatchState, name: string): string =>
  state.board[name]?.alarm.state ?? 'normal';

describe('the order of arrival', () => {
  it('of readings that arrive together, in any number of packs, changes nothing that is known', () => {
    let runs = 0;
    let alarms = 0;
    let same = 0;
    fc.assert(
      fc.property(quarters(2), (all) => {
        const until = start + all.length * quarter + 7200;
        const at = (index: number) => start + (index + 1) * quarter;
        const plain = fed(
          all.map((one, index) => ({ at: at(index), points: pointsOf(one, index) })),
          until,
        );
        const mixed = fed(
          all.flatMap((one, index) =>
            inPacks(shuffled(pointsOf(one, index), one.keys), one.packs).map((points) => ({
              at: at(index),
              points,
            })),
          ),
          until,
        );
        runs += 1;
        expect(known(mixed.state, until)).toEqual(known(plain.state, until));
        expect(holding(mixed.state)).toEqual(holding(plain.state));
        for (const name of new Set([...plain.told.keys(), ...mixed.told.keys()])) {
          alarms += 1;
          const [one, other] = [plain.told.get(name) ?? [], mixed.told.get(name) ?? []];
          // What a first pack raised and a second one took back has been told, and stays in the history.
          if (one.join() !== other.join()) continue;
          same += 1;
          expect(stateOf(mixed.state, name)).toBe(stateOf(plain.state, name));
        }
      }),
      { numRuns: 300 },
    );
    expect(runs).toBe(300);
    expect(alarms).toBeGreaterThan(200);
    expect(same / alarms).toBeGreaterThan(0.8);
  });

  it('of readings that are late one by one changes neither the record nor what holds', () => {
    let raised = 0;
    fc.assert(
      fc.property(
        quarters(1),
        fc.array(fc.integer({ min: 0, max: quarter - 1 }), { minLength: 40, maxLength: 40 }),
        (all, delays) => {
          const until = start + all.length * quarter + 7200;
          const points = all.flatMap((one, index) => [...pointsOf(one, index)]);
          const arrivals = (late: (index: number) => number) =>
            points
              .map((point, index) => ({ at: point.time + late(index), points: [point] }))
              .toSorted((one, other) => one.at - other.at);
          const punctual = fed(
            arrivals(() => 0),
            until,
          );
          const late = fed(
            arrivals((index) => delays[(index * 7) % delays.length] ?? 0),
            until,
          );
          raised += punctual.told.get('temperature:temperature')?.length ?? 0;
          expect(late.state.chronicle.rows).toEqual(punctual.state.chronicle.rows);
          const isHot = (state: WatchState) => holding(state).includes('temperature:temperature');
          expect(isHot(late.state)).toBe(isHot(punctual.state));
          expect(known(late.state, until).latest).toEqual(known(punctual.state, until).latest);
        },
      ),
      { numRuns: 200 },
    );
    expect(raised).toBeGreaterThan(50);
  });

  it('of an excursion that lasts changes no alarm at all', () => {
    // Hot for at least an hour and cool for at least an hour, so that no delay ends amid the disorder.
    const spells = fc.array(fc.integer({ min: 5, max: 9 }), { minLength: 2, maxLength: 6 });
    let alarms = 0;
    fc.assert(
      fc.property(
        spells,
        fc.array(fc.nat({ max: 999 }), { minLength: 24, maxLength: 24 }),
        fc.integer({ min: 1, max: 5 }),
        (lengths, keys, packs) => {
          const all = lengths.flatMap((length, spell) =>
            Array.from({ length }, () => ({
              celsius: spell % 2 === 0 ? 19 : 23.5,
              stray: [],
              pascal: null,
              count: 3,
              keys,
              packs,
            })),
          );
          const until = start + all.length * quarter;
          const at = (index: number) => start + (index + 1) * quarter;
          const plain = fed(
            all.map((one, index) => ({ at: at(index), points: pointsOf(one, index) })),
            until,
          );
          const mixed = fed(
            all.flatMap((one, index) =>
              inPacks(shuffled(pointsOf(one, index), keys), packs).map((points) => ({
                at: at(index),
                points,
              })),
            ),
            until,
          );
          alarms += plain.told.size;
          expect(mixed.told).toEqual(plain.told);
        },
      ),
      { numRuns: 150 },
    );
    expect(alarms).toBeGreaterThanOrEqual(150);
  });
});

/** Any readings, acts and waits. */
const steps = fc.array(
  fc.oneof(
    fc.record({
      kind: fc.constant('hear' as const),
      channel: fc.constantFrom(
        'temperature' as const,
        'gravity' as const,
        'gauge-pressure' as const,
      ),
      value: fc.constantFrom(0, 1, 2, 3, 4),
      late: fc.integer({ min: 0, max: 1200 }),
    }),
    fc.record({ kind: fc.constant('wait' as const), seconds: fc.integer({ min: 1, max: 9000 }) }),
    fc.record({
      kind: fc.constant('do' as const),
      act: fc.constantFrom<Act['kind']>(
        'acknowledge',
        'acknowledge',
        'reset',
        'shelve',
        'unshelve',
        'remove-from-service',
        'return-to-service',
      ),
      alarm: fc.constantFrom('temperature:temperature', 'over-pressure'),
    }),
  ),
  { minLength: 1, maxLength: 60, size: 'max' },
);

const values = {
  temperature: [15, 19, 21.8, 22.6, 24],
  gravity: [1.05, 1.045, 1.03, 1.0299, 1.012],
  'gauge-pressure': [10_000, 60_000, 130_000, 144_000, 170_000],
} as const;

type Step = typeof steps extends fc.Arbitrary<(infer One)[]> ? One : never;

const pointOf = (step: Extract<Step, { kind: 'hear' }>, now: number): Point => ({
  channel: step.channel,
  time: now - step.late,
  value: values[step.channel][step.value] ?? 0,
});

const stepped = (state: WatchState, step: Step, now: number) => {
  if (step.kind === 'hear') return judge(watched, state, [pointOf(step, now)], now);
  if (step.kind === 'wait') return judge(watched, state, [], now);
  const answer = act(
    watched,
    state,
    { kind: step.act, alarm: step.alarm, by: 'Maren', note: 'seen', until: now + 3600 },
    now,
  );
  return answer.ok ? answer.value : { state, changes: [], happenings: [] };
};

describe('what the outside does to a watch', () => {
  it('a state kept as JSON between any two calls, acts among them, gives the same verdicts', () => {
    let told = 0;
    fc.assert(
      fc.property(steps, (sequence) => {
        let now = start;
        let plain = beginWatch(watched, now);
        let kept = beginWatch(watched, now);
        for (const step of sequence) {
          now += step.kind === 'wait' ? step.seconds : 60;
          const one = stepped(plain, step, now);
          const other = stepped(JSON.parse(JSON.stringify(kept)), step, now);
          expect(other).toEqual(one);
          told += one.changes.length;
          plain = one.state;
          kept = other.state;
        }
      }),
      { numRuns: 150 },
    );
    expect(told).toBeGreaterThan(100);
  });

  it('a clock that is set back raises nothing, returns nothing, and is forgotten when it has caught up', () => {
    fc.assert(
      fc.property(
        steps,
        fc.integer({ min: 1, max: 30 * 86_400 }),
        fc.integer({ min: 1, max: 2 * 86_400 }),
        (sequence, back, ahead) => {
          let now = start;
          let state = beginWatch(watched, now);
          for (const step of sequence) {
            now += step.kind === 'wait' ? step.seconds : 60;
            state = stepped(state, step, now).state;
          }
          // What is due at this very moment is raised by the time that has passed, not by setting it back.
          state = judge(watched, state, [], now).state;
          const setBack = judge(watched, state, [], now - back);
          expect(setBack.changes).toEqual([]);
          expect(setBack.happenings).toEqual([]);
          const later = judge(watched, setBack.state, [], now + ahead);
          expect(later.changes).toEqual(judge(watched, state, [], now + ahead).changes);
        },
      ),
      { numRuns: 300 },
    );
  });

  it('the newest readings sent again change nothing', () => {
    fc.assert(
      fc.property(steps, (sequence) => {
        let now = start;
        let state = beginWatch(watched, now);
        for (const step of sequence) {
          now += step.kind === 'wait' ? step.seconds : 60;
          const verdict = stepped(state, step, now);
          state = verdict.state;
          if (step.kind !== 'hear') continue;
          const point = pointOf(step, now);
          if (state.channels[point.channel]?.time !== point.time) continue;
          const again = judge(watched, state, [point], now);
          expect(again.changes).toEqual([]);
          expect(holding(again.state)).toEqual(holding(state));
          expect(again.state.sameness).toEqual(state.sameness);
        }
      }),
      { numRuns: 150 },
    );
  });

  it('a sleep through every wake-up ends where the watch would be that was woken for each', () => {
    fc.assert(
      fc.property(steps, fc.integer({ min: 1, max: 20 * 86_400 }), (sequence, sleep) => {
        let now = start;
        let state = beginWatch(watched, now);
        for (const step of sequence) {
          now += step.kind === 'wait' ? step.seconds : 60;
          state = stepped(state, step, now).state;
        }
        const until = now + sleep;
        const slept = judge(watched, state, [], until).state;
        let woken = state;
        for (;;) {
          const due = nextDue(watched, woken, now);
          if (due === null || due > until) break;
          now = Math.max(now, due);
          woken = judge(watched, woken, [], now).state;
        }
        woken = judge(watched, woken, [], until).state;
        // Detectors that look back over hours date what they find by the call, so that theirs end later.
        const standing = (one: WatchState) =>
          Object.fromEntries(
            Object.entries(one.board)
              .filter(([name]) => /^(temperature|over-pressure$|silent-sensor)/.test(name))
              .map(([name, { alarm, holds, latched }]) => [
                name,
                [alarm.state, holds, latched, alarm.occurrence, alarm.chattering],
              ]),
          );
        expect(standing(slept)).toEqual(standing(woken));
      }),
      { numRuns: 200 },
    );
  });
});
