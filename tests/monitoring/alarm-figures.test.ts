/**
 * Flood, stale list and performance figures against plain countings over any history. The limits (flood above 10 and
 * below 5 in 10 minutes) are those that ISA-18.2 is quoted with, seen second-hand; stale after 24 h is from memory.
 */
import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { type Alarm, type AlarmState, alarmStates } from '../../src/monitoring/alarms/alarm.ts';
import { untoldEntry } from '../../src/monitoring/alarms/alarm-entry.ts';
import { alarmFigures, type ToldChange } from '../../src/monitoring/alarms/alarm-figures.ts';
import { plainText } from '../../src/monitoring/alarms/alarm-text.ts';
import {
  type FloodChange,
  type FloodWatch,
  floodAfter,
  floodAt,
  floodEndsAt,
  noFlood,
} from '../../src/monitoring/alarms/flood.ts';
import { floodText } from '../../src/monitoring/alarms/flood-text.ts';
import { referenceFigures } from '../../src/monitoring/alarms/reference-figures.ts';
import { staleAlarms } from '../../src/monitoring/alarms/stale.ts';

const alarmOf = (change: Partial<Alarm>): Alarm => ({
  ...untoldEntry(
    { kind: change.kind ?? 'stall', channel: null, priority: 'medium' },
    change.kind ?? 'stall',
    null,
    0,
  ).alarm,
  ...change,
});

const raisedAt = (at: number, vessel = 'keg-7', change: Partial<Alarm> = {}): ToldChange => ({
  vessel,
  transition: 'raised',
  at,
  alarm: alarmOf({ state: 'unacknowledged', raisedAt: at, ...change }),
});

/** Seconds at which each alarm calls, in order. */
const moments = fc
  .array(
    fc.oneof(
      { weight: 14, arbitrary: fc.integer({ min: 0, max: 90 }) },
      { weight: 1, arbitrary: fc.integer({ min: 0, max: 2000 }) },
    ),
    {
      minLength: 1,
      maxLength: 120,
      size: 'max',
    },
  )
  .map((gaps) => {
    let at = 1000;
    return gaps.map((gap) => {
      at += gap;
      return at;
    });
  });

/** Second by second: how many calls lie in the ten minutes up to it, and whether that is a flood. */
const naiveFloods = (called: readonly number[], until: number) => {
  const spans: { from: number; to: number | null }[] = [];
  let open: { from: number; to: number | null } | null = null;
  for (let second = 0; second <= until; second += 1) {
    const count = called.filter((at) => at <= second && at > second - 600).length;
    if (open === null && count > 10) {
      open = { from: second, to: null };
      spans.push(open);
    } else if (open !== null && count < 5) {
      open.to = second;
      open = null;
    }
  }
  return spans;
};

describe('a flood', () => {
  it('begins and ends when the standard says so, once each, by alarms or by the clock alone', () => {
    let floods = 0;
    fc.assert(
      fc.property(moments, (called) => {
        const until = (called.at(-1) ?? 0) + 700;
        const told: FloodChange[] = [];
        let watch: FloodWatch = noFlood;
        const run = (to: number) => {
          const due = floodEndsAt(watch);
          if (due === null || due >= to) return;
          const step = floodAt(watch, due);
          watch = step.watch;
          told.push(...step.changes);
          expect(step.changes).toHaveLength(1);
        };
        for (const at of called) {
          run(at);
          const step = floodAfter(watch, `v${at % 7}`, raisedAt(at), at);
          told.push(...step.changes);
          watch = JSON.parse(JSON.stringify(step.watch));
        }
        run(until + 1);
        const wanted = naiveFloods(called, until);
        floods += wanted.length;
        expect(
          told.map(({ transition, at, flood }) => [transition, at, flood.since] as const),
        ).toEqual(
          wanted.flatMap(({ from, to }) => [
            ['began', from, from] as const,
            ...(to === null ? [] : [['ended', to, from] as const]),
          ]),
        );
        for (const { transition, at, flood } of told) {
          const own = called.filter((one) => one <= at && one > flood.since - 600);
          if (transition === 'began') expect([flood.count, flood.peak]).toEqual([11, 11]);
          if (transition === 'began') continue;
          expect(flood.count).toBe(own.length);
          expect(Object.values(flood.kinds)).toEqual([own.length]);
          expect(flood.vessels.length).toBe(new Set(own.map((one) => one % 7)).size);
        }
      }),
      { numRuns: 150 },
    );
    expect(floods).toBeGreaterThan(50);
  });

  it('counts what calls a person, and nothing else', () => {
    for (const state of alarmStates) {
      let watch: FloodWatch = noFlood;
      for (let at = 0; at < 11; at += 1)
        watch = floodAfter(watch, 'keg-7', { alarm: alarmOf({ state }) }, at).watch;
      expect(watch.flood !== null).toBe(state === 'unacknowledged');
    }
  });

  it('is told in words with its numbers', () => {
    let watch: FloodWatch = noFlood;
    const told: FloodChange[] = [];
    for (let index = 0; index < 14; index += 1) {
      const kind = index < 12 ? 'silent-sensor' : 'temperature';
      const step = floodAfter(watch, `v${index}`, raisedAt(0, 'v', { kind }), 100 + index * 30);
      watch = step.watch;
      told.push(...step.changes);
    }
    told.push(...floodAt(watch, 5000).changes);
    const [began = '', ended = ''] = told.map((one) => plainText(floodText('Skerrow Yard', one)));
    expect(began).toContain('Skerrow Yard: a flood of alarms has begun.');
    expect(began).toContain('11 alarms on 11 vessels within ten minutes: Sensor is silent (11).');
    // The eleventh came at 400 s; the fifth youngest, of 370 s, leaves the ten minutes at 970 s.
    expect(ended).toContain('14 alarms on 14 vessels in 10 min, at most 14 within ten minutes');
    expect(ended).toContain('Sensor is silent (12), Temperature out of its band (2).');
  });
});

test('stale is what has been active for more than a day; what has returned or is set aside is not', () => {
  const now = 10 * 86_400;
  const standing = (['unacknowledged', 'acknowledged', 'latched-acknowledged'] as const).flatMap(
    (state) => [
      alarmOf({ state, raisedAt: now - 86_400 }),
      alarmOf({ state, raisedAt: now - 86_401 }),
    ],
  );
  const others = (
    ['normal', 'returned-unacknowledged', 'shelved', 'suppressed', 'out-of-service'] as const
  ).map((state) => alarmOf({ state, raisedAt: 0 }));
  expect(staleAlarms([...standing, ...others], now)).toHaveLength(3);
  const oldest = staleAlarms(
    [
      alarmOf({ state: 'acknowledged', raisedAt: 5 }),
      alarmOf({ state: 'acknowledged', raisedAt: 3 }),
    ],
    now,
  );
  expect(oldest.map(({ raisedAt: at }) => at)).toEqual([3, 5]);
});

describe('the figures', () => {
  const day = 86_400;
  const anyChange: fc.Arbitrary<ToldChange> = fc
    .record({
      at: fc.integer({ min: 0, max: 20 * day }),
      vessel: fc.constantFrom('keg-7', 'fermenter-1', 'bright-tank'),
      kind: fc.constantFrom(
        'stall' as const,
        'temperature' as const,
        'leak' as const,
        'over-pressure' as const,
      ),
      state: fc.constantFrom<AlarmState>(
        'unacknowledged',
        'unacknowledged',
        'acknowledged',
        'normal',
      ),
      priority: fc.constantFrom('high' as const, 'medium' as const, 'low' as const),
      chattering: fc.boolean(),
    })
    .map(({ at, vessel, kind, state, priority, chattering }) => ({
      vessel,
      at,
      transition:
        state === 'unacknowledged'
          ? 'raised'
          : state === 'acknowledged'
            ? 'acknowledged'
            : 'returned',
      alarm: alarmOf({ alarm: kind, kind, state, priority, chattering, raisedAt: at }),
    }));

  it('are what a plain count gives, whatever the history', () => {
    let compared = 0;
    fc.assert(
      fc.property(
        fc.array(anyChange, { maxLength: 80, size: 'max' }),
        fc.integer({ min: 0, max: 10 * day }),
        fc.integer({ min: 1, max: 10 * day }),
        (history, from, length) => {
          const to = from + length;
          const found = alarmFigures(history, [], { from, to });
          const own = history
            .filter(({ at }) => at >= from && at <= to)
            .toSorted((one, other) => one.at - other.at);
          const called = own.filter(({ alarm }) => alarm.state === 'unacknowledged');
          compared += 1;
          expect(found.alarms).toBe(called.length);
          expect(found.alarmsPerDay.value).toBeCloseTo(
            called.length / Math.max(1, length / day),
            9,
          );
          const windows = called.map(
            ({ at }) => called.filter((one) => one.at <= at && one.at > at - 600).length,
          );
          expect(found.mostInTenMinutes.value).toBe(Math.max(0, ...windows));
          const counts = Object.values(found.priorities).map(({ count }) => count);
          expect(counts.reduce((sum, count) => sum + count, 0)).toBe(called.length);
          const shares = Object.values(found.priorities).map(({ value }) => value ?? 0);
          if (called.length > 0) expect(shares.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 12);
          const { alarms } = found.topTenShare;
          expect(alarms.length).toBeLessThanOrEqual(10);
          for (const { vessel, alarm, count, share } of alarms) {
            const mine = called.filter((one) => one.vessel === vessel && one.alarm.alarm === alarm);
            expect(count).toBe(mine.length);
            expect(share).toBeCloseTo(mine.length / called.length, 12);
          }
          expect(alarms.map(({ count }) => count)).toEqual(
            alarms.map(({ count }) => count).toSorted((one, other) => other - one),
          );
          const { acknowledged, unanswered, value } = found.meanSecondsToAcknowledge;
          expect(acknowledged + unanswered).toBe(called.length);
          if (value !== null) expect(value).toBeGreaterThanOrEqual(0);
          expect(found.chattering.value).toBe(
            new Set(
              called
                .filter(({ alarm }) => alarm.chattering)
                .map((one) => `${one.vessel} ${one.alarm.alarm}`),
            ).size,
          );
          expect(found.shareOfTimeInFlood.value).toBeGreaterThanOrEqual(0);
          expect(found.shareOfTimeInFlood.value).toBeLessThanOrEqual(1);
        },
      ),
      { numRuns: 200 },
    );
    expect(compared).toBe(200);
  });

  it('tell how long a flood lasted within the span, also one that goes on', () => {
    const history = Array.from({ length: 20 }, (_, index) => raisedAt(1000 + index * 10));
    // The eleventh comes at 1100 s; the fifth youngest, of 1150 s, leaves the ten minutes at 1750 s.
    const over = alarmFigures(history, [], { from: 0, to: 10_000 });
    expect(over.shareOfTimeInFlood).toMatchObject({ value: 650 / 10_000, floods: 1 });
    expect(over.mostInTenMinutes).toMatchObject({ value: 20, at: 1190 });
    const going = alarmFigures(history, [], { from: 0, to: 1400 });
    expect(going.shareOfTimeInFlood).toMatchObject({ value: 300 / 1400, floods: 1 });
  });

  it('take the time to the acknowledgement of each call, over a return and from the latest call', () => {
    const step = (
      at: number,
      transition: ToldChange['transition'],
      state: AlarmState,
    ): ToldChange => ({ vessel: 'keg-7', at, transition, alarm: alarmOf({ state }) });
    const { meanSecondsToAcknowledge: found } = alarmFigures(
      [
        step(100, 'raised', 'unacknowledged'),
        step(160, 'acknowledged', 'acknowledged'),
        step(400, 're-alarmed', 'unacknowledged'),
        step(450, 'returned', 'returned-unacknowledged'),
        step(500, 'acknowledged', 'normal'),
        step(600, 'raised', 'unacknowledged'),
        step(700, 'shelved', 'shelved'),
        step(800, 'unshelved', 'unacknowledged'),
        step(820, 'acknowledged', 'acknowledged'),
      ],
      [],
      { from: 0, to: 1000 },
    );
    expect(found).toMatchObject({ value: (60 + 100 + 20) / 3, acknowledged: 3, unanswered: 1 });
  });

  it('say beside each what the standards are quoted with, and how that is known', () => {
    const found = alarmFigures([], [], { from: 0, to: day });
    expect(found.alarmsPerDay.references.map(({ most }) => most)).toEqual([144, 150, 300]);
    expect(found.mostInTenMinutes.references[0]?.most).toBe(10);
    expect(found.topTenShare).toMatchObject({ value: null, alarms: [] });
    expect(found.meanSecondsToAcknowledge).toMatchObject({ value: null, references: [] });
    const all = Object.values(referenceFigures).flat();
    expect(all).toHaveLength(11);
    for (const { known, source } of all) {
      expect(['seen second-hand', 'from memory']).toContain(known);
      expect(source).toMatch(/ISA-18\.2|IEC 62682|EEMUA 191/);
    }
  });
});
