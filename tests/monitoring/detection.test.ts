/**
 * What the detectors find and what they cry wolf at, on simulated cases of seeds that no limit was tuned on. The
 * bounds are a little below what is reached, and each count says how many cases stood behind it.
 */
import { describe, expect, it } from 'vitest';
import { vesselCase, vesselEvents } from '../../src/host/simulated/closed-vessel-case.ts';
import { record } from '../../src/host/simulated/device.ts';
import { dice } from '../../src/host/simulated/dice.ts';
import {
  type FermentationClass,
  fermentationCase,
} from '../../src/host/simulated/fermentation-case.ts';
import type { Watched } from '../../src/monitoring/watched.ts';
import { hectolitreFermenter } from './hectolitre-fermenter.ts';
import { type Raised, replayed } from './simulated/replay.ts';

const start = 1_770_000_000;

const blank = {
  endedAt: null,
  originalGravity: null,
  expectedTerminalGravity: null,
  attenuationLimit: null,
  temperatureBand: null,
  carbonationVolumes: null,
} as const;

type Fermented = {
  readonly wanted: FermentationClass;
  readonly raised: readonly Raised[];
  /** Unix seconds from which, and until which, a stall alarm is right; null where none is. */
  readonly early: number | null;
  readonly stall: number | null;
  readonly end: number | null;
  readonly fault: { readonly at: number; readonly until: number } | null;
  /** Unix seconds at which its temperature began to fall out of hand; null where it did not. */
  readonly crash: number | null;
  /** Unix seconds, from and to, in which nothing arrived. */
  readonly gaps: readonly (readonly [number, number])[];
};

const fermented = (seed: number, wanted: FermentationClass): Fermented => {
  const roll = dice(seed);
  const run = fermentationCase(roll, wanted);
  const sensed = record(roll, run, start);
  const watched: Watched = {
    vessel: hectolitreFermenter,
    batch: {
      ...blank,
      batch: 'gyle-1',
      title: 'Gyle 1',
      drink: run.kind,
      stage: 'fermentation',
      startedAt: start,
      originalGravity: 1 + (run.originalPoints + roll.normal(0, 0.8)) / 1000,
      expectedTerminalGravity: roll.chance(0.25)
        ? null
        : 1 + (run.limitPoints + roll.normal(0, 3.4)) / 1000,
    },
  };
  const packs = sensed.rows.map(({ time, gravity, temperature, headKilopascal, flow }) => [
    { channel: 'gravity' as const, time, value: gravity },
    { channel: 'temperature' as const, time, value: temperature },
    ...(headKilopascal === null
      ? []
      : [{ channel: 'gauge-pressure' as const, time, value: headKilopascal * 1000 }]),
    ...(flow === null ? [] : [{ channel: 'gas-flow' as const, time, value: flow / 3_600_000 }]),
  ]);
  const at = (hour: number | null): number | null => (hour === null ? null : start + hour * 3600);
  return {
    wanted,
    raised: replayed(watched, packs, start, start + run.hours * 3600),
    early: at(run.earlyHour),
    stall: at(run.stallHour),
    end: at(run.stallEndHour),
    fault: sensed.fault,
    gaps: sensed.gaps,
    crash: run.cause === 'temperature_crash' ? at(run.causeHour) : null,
  };
};

describe('fermentations', () => {
  const classes: readonly FermentationClass[] = [
    'normal',
    'normal',
    'normal',
    'stalled',
    'stalled',
    'restarted',
    'sluggish',
    'stuck_sensor',
    'sensor_silence',
  ];
  const cases = Array.from({ length: 45 }, (_, index) =>
    fermented(77_000_003 + index * 7919, classes[index % classes.length] ?? 'normal'),
  );
  const kinds = (raised: readonly Raised[], kind: Raised['kind']): readonly number[] =>
    raised.filter((one) => one.kind === kind).map(({ at }) => at);

  it('finds at least 14 of 15 stalls, half of them within five hours of the stop', () => {
    const delays: number[] = [];
    let stalls = 0;
    for (const { raised, early, stall, end } of cases) {
      if (early === null || stall === null || end === null) continue;
      stalls += 1;
      const found = kinds(raised, 'stall').find((at) => at >= early && at <= end + 3600);
      if (found !== undefined) delays.push((found - stall) / 3600);
    }
    expect(stalls).toBe(15);
    expect(delays.length).toBeGreaterThanOrEqual(14);
    const sorted = delays.sort((a, b) => a - b);
    expect(sorted[Math.floor(sorted.length / 2)]).toBeLessThanOrEqual(5);
  });

  it('calls none of 15 normal and at most 1 of 5 sluggish fermentations stalled', () => {
    const falsely = (wanted: FermentationClass): readonly [number, number] => {
      const own = cases.filter((one) => one.wanted === wanted);
      return [own.filter(({ raised }) => kinds(raised, 'stall').length > 0).length, own.length];
    };
    const [normal, normals] = falsely('normal');
    const [sluggish, sluggishs] = falsely('sluggish');
    expect([normals, sluggishs]).toEqual([15, 5]);
    expect(normal).toBe(0);
    expect(sluggish).toBeLessThanOrEqual(1);
  });

  it('tells every temperature crash within a day, and no other fermentation of one', () => {
    const crashes = cases.filter(({ crash }) => crash !== null);
    expect(crashes.length).toBeGreaterThanOrEqual(6);
    for (const { crash, raised } of crashes) {
      const told = kinds(raised, 'temperature').map((at) => (at - (crash ?? 0)) / 3600);
      expect(told[0]).toBeGreaterThanOrEqual(0);
      expect(told[0]).toBeLessThanOrEqual(24);
    }
    const others = cases.filter(({ crash }) => crash === null);
    expect(others.flatMap(({ raised }) => kinds(raised, 'temperature'))).toEqual([]);
  });

  it('says of every stall in the cold how far the temperature fell', () => {
    const stalls = cases.flatMap(({ crash, raised }) =>
      crash === null ? [] : raised.filter(({ kind, at }) => kind === 'stall' && at >= crash),
    );
    const told = stalls.filter(({ evidence }) => /Temperature has fallen by \d/.test(evidence));
    expect(stalls.length).toBeGreaterThanOrEqual(6);
    expect(told).toHaveLength(stalls.length);
  });

  it('calls at least 3 of 5 sluggish fermentations sluggish, and none of 15 normal ones', () => {
    const slow = (wanted: FermentationClass): number =>
      cases.filter((one) => one.wanted === wanted && kinds(one.raised, 'sluggish').length > 0)
        .length;
    expect(slow('sluggish')).toBeGreaterThanOrEqual(3);
    expect(slow('normal')).toBe(0);
  });

  it('finds every stuck and silent sensor, and takes none of them for a stall', () => {
    let faults = 0;
    for (const { raised, fault, wanted } of cases) {
      if (fault === null) continue;
      faults += 1;
      const kind = wanted === 'stuck_sensor' ? 'stuck-sensor' : 'silent-sensor';
      const found = kinds(raised, kind).some((at) => at >= fault.at && at <= fault.until + 7200);
      expect(found, `${wanted} ${faults}`).toBe(true);
      expect(kinds(raised, 'stall')).toEqual([]);
    }
    expect(faults).toBe(10);
  });

  it('calls no sensor silent or stuck that is neither, but for gaps of hours', () => {
    const sound = cases.filter(({ fault }) => fault === null);
    expect(sound).toHaveLength(35);
    const blamed = sound.flatMap(({ raised, gaps }) =>
      [...kinds(raised, 'silent-sensor'), ...kinds(raised, 'stuck-sensor')].filter(
        (at) => !gaps.some(([from, to]) => at >= from && at <= to + 3600),
      ),
    );
    expect(blamed).toEqual([]);
  });
});

describe('closed vessels', () => {
  const cases = Array.from({ length: 96 }, (_, index) => {
    const roll = dice(99_000_001 + index * 104_729);
    const run = vesselCase(roll, vesselEvents[index % vesselEvents.length] ?? 'hold', start);
    const watched: Watched = {
      vessel: {
        vessel: 'keg-1',
        title: 'Keg 1',
        kind: run.kind === 'tank' ? 'bright-tank' : run.kind,
        volumeLitre: run.volumeLitre,
        headspaceLitre: run.volumeLitre * run.headspaceShare,
        ratedGaugePressurePascal: run.ratedKilopascal * 1000,
        reliefGaugePressurePascal:
          run.reliefKilopascal === null ? null : run.reliefKilopascal * 1000,
        gasConnected: run.gasConnected,
        temperatureBand: null,
      },
      batch: {
        ...blank,
        batch: 'gyle-2',
        title: 'Gyle 2',
        drink: 'ale',
        stage:
          run.kind === 'fermenter' ? 'fermentation' : run.kind === 'keg' ? 'keg' : 'conditioning',
        startedAt: start,
        carbonationVolumes: run.volumesAtStart,
      },
    };
    const packs = run.rows.map(({ time, kilopascal, temperature }) => [
      { channel: 'gauge-pressure' as const, time, value: kilopascal * 1000 },
      { channel: 'temperature' as const, time, value: temperature },
    ]);
    return { run, raised: replayed(watched, packs, start, start + run.hours * 3600) };
  });
  const warnings = (raised: readonly Raised[]): readonly number[] =>
    raised
      .filter(({ kind }) => kind === 'over-pressure' || kind === 'over-pressure-ahead')
      .map(({ at }) => (at - start) / 3600);

  it('warns before every crossing of the rated pressure, by hours', () => {
    const leads: number[] = [];
    let crossings = 0;
    for (const { run, raised } of cases) {
      if (run.crossing === null || run.onset === null) continue;
      crossings += 1;
      const { onset, crossing } = run;
      const first = warnings(raised).find((hour) => hour >= onset && hour <= crossing);
      if (first !== undefined) leads.push(crossing - first);
    }
    expect(crossings).toBeGreaterThanOrEqual(12);
    expect(leads).toHaveLength(crossings);
    const sorted = leads.sort((a, b) => a - b);
    expect(sorted[Math.floor(sorted.length / 2)]).toBeGreaterThanOrEqual(13);
    expect(sorted[Math.floor(sorted.length / 10)]).toBeGreaterThanOrEqual(3);
  });

  it('warns of at most 2 of 64 quiet vessels', () => {
    const quiet = cases.filter(({ run }) => run.quiet);
    expect(quiet).toHaveLength(64);
    const falsely = quiet.filter(({ raised }) => warnings(raised).length > 0);
    expect(falsely.length).toBeLessThanOrEqual(2);
  });

  it('finds every refermentation and 7 of 8 leaks, and blames at most 1 other vessel', () => {
    const found = (event: string, kind: Raised['kind']): readonly [number, number] => {
      const own = cases.filter(({ run }) => run.event === event);
      return [
        own.filter(({ raised }) => raised.some((one) => one.kind === kind)).length,
        own.length,
      ];
    };
    expect(found('referment', 'refermentation')).toEqual([8, 8]);
    const [leaks, of] = found('leak', 'leak');
    expect(of).toBe(8);
    expect(leaks).toBeGreaterThanOrEqual(7);
    const blamed = cases.filter(
      ({ run, raised }) =>
        !['leak', 'referment', 'relief', 'blocked_vent'].includes(run.event) &&
        raised.some(({ kind }) => kind === 'leak' || kind === 'refermentation'),
    );
    expect(blamed.length).toBeLessThanOrEqual(1);
  });
});
