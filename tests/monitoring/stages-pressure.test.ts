/**
 * Vents, pressure bands, relief valves, carbonation and what a blend could do in its keg. Published: the keg of the
 * labelled sample in fixtures/bench whose relief valve opened 27 times (T004) and its blocked vent (T005).
 */
import { describe, expect, test } from 'vitest';
import { readRecords } from '../../src/host/backtest/folder-records.ts';
import type { BacktestRecord } from '../../src/host/backtest/record.ts';
import { replay } from '../../src/host/backtest/replay.ts';
import type { AlarmKind } from '../../src/monitoring/alarms/alarm.ts';
import { statusOf } from '../../src/monitoring/watch.ts';
import {
  batchIn,
  call,
  day,
  heardOf,
  hour,
  minute,
  play,
  readings,
  start,
  toldAt,
  vesselOf,
} from './stages-run.ts';

const pascal = (value: (seconds: number) => number, until: number, every = 5 * minute) =>
  readings('gauge-pressure', every, 0, until, value);

describe('vent', () => {
  const open = { vessel: vesselOf('fermenter'), batch: batchIn('fermentation') };

  test('head pressure that rises by 8 kPa in a fermenter that was vented is told within half an hour', () => {
    const course = (s: number): number => (s < 16 * hour ? 3000 : 3000 + 6 * (s - 16 * hour));
    const played = play(open, pascal(course, 18 * hour), 18 * hour);
    expect(heardOf(played)).toEqual(['blocked-vent raised']);
    const passes = 16 * hour + 8000 / 6;
    expect(toldAt(played, 'blocked-vent raised') ?? 0).toBeGreaterThan(passes);
    expect(toldAt(played, 'blocked-vent raised') ?? 0).toBeLessThan(passes + 30 * minute);
    const alarm = statusOf(open, played.state, played.now).alarms[0];
    expect(alarm).toMatchObject({ priority: 'high' });
    expect(alarm?.caution).toMatch(/relief device decide/);
  });

  test('a fermenter that was closed from its first hour was never vented', () => {
    expect(
      heardOf(
        play(
          open,
          pascal((s) => Math.min(60_000, s), day),
          day,
        ),
      ),
    ).toEqual([]);
  });

  test('a spunding valve holds its setting without an alarm, and one that sticks is told', () => {
    const spunded = {
      ...open,
      vessel: vesselOf('fermenter', { reliefGaugePressurePascal: 60_000 }),
    };
    expect(
      heardOf(
        play(
          spunded,
          pascal((s) => Math.min(60_500, s), 2 * day),
          2 * day,
        ),
      ),
    ).toEqual([]);
    const stuck = play(
      spunded,
      pascal((s) => Math.min(75_000, s), 2 * day),
      2 * day,
    );
    expect(heardOf(stuck)).toEqual(['blocked-vent raised']);
  });
});

describe('pressure band', () => {
  const keg = {
    vessel: vesselOf('keg', { gasConnected: true }),
    batch: batchIn('keg', 'ale', {
      limits: { keg: { lowGaugePressurePascal: 70_000, highGaugePressurePascal: 110_000 } },
    }),
  };

  test.each([
    ['above', 120_000, 'medium'],
    ['below', 50_000, 'low'],
  ])('%s the band that the batch names', (_, level, priority) => {
    const played = play(
      keg,
      pascal((s) => (s < hour ? 90_000 : level), 3 * hour),
      3 * hour,
    );
    expect(heardOf(played)).toEqual(['pressure-band raised']);
    expect(statusOf(keg, played.state, played.now).alarms[0]).toMatchObject({ priority });
  });

  test('without a band there is nothing to be out of', () => {
    const bare = { ...keg, batch: batchIn('keg') };
    expect(
      heardOf(
        play(
          bare,
          pascal((s) => (s < hour ? 90_000 : 20_000), 3 * hour),
          3 * hour,
        ),
      ),
    ).toEqual([]);
  });
});

describe('relief valve', () => {
  /** The alarm kinds raised over a recorded vessel of the labelled sample. */
  const raisedOver = (record: BacktestRecord): ReadonlySet<AlarmKind> => {
    const raised = new Set<AlarmKind>();
    replay(record, [], {
      onVerdict: ({ changes }) => {
        for (const { transition, alarm } of changes)
          if (transition === 'raised') raised.add(alarm.kind);
      },
    });
    return raised;
  };
  const kegs = readRecords('fixtures/bench').filter(({ name }) => name.startsWith('T'));

  test('of eight vessels only the keg whose valve opened 27 times chatters', () => {
    expect(kegs).toHaveLength(8);
    const noted = kegs.map((record) => {
      const { vessel } = record.watched;
      // Where none is noted, a valve that would open at the rating.
      const relief = vessel.reliefGaugePressurePascal ?? vessel.ratedGaugePressurePascal;
      return {
        ...record,
        watched: { ...record.watched, vessel: { ...vessel, reliefGaugePressurePascal: relief } },
      };
    });
    const chattering = noted.filter((record) => raisedOver(record).has('relief-chatter'));
    expect(chattering.map(({ name }) => name)).toEqual(['T004']);
  });

  test('of eight vessels only the fermenter with the blocked vent is told to have one', () => {
    const blocked = kegs.filter((record) => raisedOver(record).has('blocked-vent'));
    expect(blocked.map(({ name }) => name)).toEqual(['T005']);
  });
});

describe('carbonation', () => {
  test('a closed keg that gathers gas to its target is told once, hours after it got there', () => {
    const keg = {
      vessel: vesselOf('keg', { volumeLitre: 30, headspaceLitre: 2 }),
      batch: batchIn('keg', 'ale', { limits: { keg: { targetVolumes: 2.2 } } }),
    };
    const points = [
      ...pascal((s) => 20_000 + Math.min(90_000, s / 3), 6 * day, 15 * minute),
      ...readings('temperature', 15 * minute, 0, 6 * day, () => 12),
    ].sort((one, other) => one.time - other.time);
    const played = play(keg, points, 6 * day);
    expect(heardOf(played).filter((what) => what === 'carbonation-reached')).toHaveLength(1);
    expect(played.told.find(({ what }) => what === 'carbonation-reached')?.evidence).toMatch(
      /2\.2 were asked for/,
    );
  });

  test('under a regulator head pressure says nothing of the drink, and nothing is told', () => {
    const keg = {
      vessel: vesselOf('keg', { volumeLitre: 30, headspaceLitre: 2, gasConnected: true }),
      batch: batchIn('keg', 'ale', { limits: { keg: { targetVolumes: 2.4 } } }),
    };
    const points = [
      ...pascal((s) => (s < hour ? 0 : 150_000), 2 * day, 15 * minute),
      ...readings('temperature', 15 * minute, 0, 2 * day, () => 4),
    ].sort((one, other) => one.time - other.time);
    expect(heardOf(play(keg, points, 2 * day))).toEqual([]);
  });
});

describe('what a blend could do in its keg', () => {
  const keg = vesselOf('keg', {
    volumeLitre: 30,
    headspaceLitre: 1.5,
    ratedGaugePressurePascal: 300_000,
  });
  const blend = (fermentableGramPerLitre: number | null) =>
    batchIn('keg', 'blend', { fermentableGramPerLitre, carbonationVolumes: 2.4 });

  test('30 g/L of fermentable extract could pass a rating of 3 bar: 15 g/L of gas', () => {
    const watched = { vessel: keg, batch: blend(30) };
    const played = play(watched, [], hour);
    expect(heardOf(played)).toEqual(['refermentation-potential raised']);
    const alarm = statusOf(watched, played.state, played.now).alarms[0];
    expect(alarm).toMatchObject({ priority: 'high' });
    expect(alarm?.evidence).toMatch(/30\.0 g\/L of fermentable extract/);
    expect(alarm?.caution).toMatch(/burst/);
    // Less than 2 g/L makes less than half a volume.
    const dry = { ...watched, batch: blend(1) };
    call(played, dry, [], start + 2 * hour);
    expect(heardOf(played)).toEqual([
      'refermentation-potential raised',
      'refermentation-potential returned',
    ]);
  });

  test.each([
    ['nothing is known of its extract', { vessel: keg, batch: blend(null) }],
    [
      'the blending tank is open',
      { vessel: vesselOf('blending-tank'), batch: { ...blend(30), stage: 'blending' as const } },
    ],
  ])('quiet where %s', (_, watched) => {
    expect(heardOf(play(watched, [], hour))).toEqual([]);
  });
});
