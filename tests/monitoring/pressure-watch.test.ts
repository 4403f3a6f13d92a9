/**
 * Pressure ahead, against published pressures of carbonated drinks: an engineering answer (madsci.org, 2000, seen,
 * informal) puts 3.0 volumes at about 17 psi gauge at 40 °F and 36 psi gauge at 70 °F.
 */
import { describe, expect, it } from 'vitest';
import { dice } from '../../src/host/simulated/dice.ts';
import { beginWatch, judge, statusOf, type WatchState } from '../../src/monitoring/watch.ts';
import type { Point, Watched } from '../../src/monitoring/watched.ts';

const psi = 6894.757;
const start = 1_770_000_000;

const keg = (ratedPascal: number, gasConnected = false): Watched => ({
  vessel: {
    vessel: 'keg-4',
    title: 'Keg 4',
    kind: 'keg',
    volumeLitre: 20,
    headspaceLitre: 1,
    ratedGaugePressurePascal: ratedPascal,
    reliefGaugePressurePascal: null,
    gasConnected,
    temperatureBand: null,
  },
  batch: {
    batch: 'steep-3',
    title: 'Rooibos and lemon verbena, sparkling',
    drink: 'infusion',
    stage: 'keg',
    startedAt: start,
    endedAt: null,
    originalGravity: null,
    expectedTerminalGravity: null,
    attenuationLimit: null,
    temperatureBand: null,
    carbonationVolumes: 3,
  },
});

const run = (
  watched: Watched,
  hours: number,
  pascalAt: (hour: number) => number,
  celsiusAt: (hour: number) => number,
) => {
  let state: WatchState = beginWatch(watched, start);
  const raised: { kind: string; hour: number; evidence: string; priority: string }[] = [];
  const roll = dice(5);
  for (let quarter = 0; quarter < hours * 4; quarter += 1) {
    const hour = quarter / 4;
    const time = start + hour * 3600;
    const points: Point[] = [
      { channel: 'gauge-pressure', time, value: pascalAt(hour) + roll.normal(0, 400) },
      { channel: 'temperature', time, value: celsiusAt(hour) + roll.normal(0, 0.08) },
    ];
    const verdict = judge(watched, state, points, time);
    state = verdict.state;
    for (const { transition, alarm } of verdict.changes) {
      if (transition === 'raised') {
        raised.push({ kind: alarm.kind, hour, evidence: alarm.evidence, priority: alarm.priority });
      }
    }
  }
  return { raised, state, now: start + hours * 3600 };
};

/** Between the two published points pressure is taken as linear in temperature. */
const published = (celsius: number): number =>
  (17 + ((36 - 17) * (celsius - 4.44)) / (21.11 - 4.44)) * psi;

describe('pressure ahead', () => {
  it('is silent on a keg that stays cold, and says what it holds', () => {
    const watched = keg(40 * psi);
    const { raised, state, now } = run(
      watched,
      60,
      () => 17 * psi,
      () => 4.44,
    );
    expect(raised).toEqual([]);
    const pressure = statusOf(watched, state, now).pressure;
    // Published: 3.0 volumes; the answer is rounded to 1 psi, which is 0.1 volumes.
    expect(Math.abs((pressure?.carbonationVolumes ?? 0) - 3)).toBeLessThan(0.15);
    expect(pressure?.crossingAt).toBeNull();
  });

  it('warns of a keg that warms towards its rating, hours before it gets there', () => {
    const tau = 12;
    const celsiusAt = (hour: number): number =>
      hour < 30 ? 4.44 : 21.11 - (21.11 - 4.44) * Math.exp(-(hour - 30) / tau);
    const rated = 32 * psi;
    const crossing = 30 + tau * Math.log((36 - 17) / (36 - 32));
    const { raised } = run(keg(rated), 60, (hour) => published(celsiusAt(hour)), celsiusAt);
    const first = raised.find(({ kind }) => kind === 'over-pressure-ahead');
    expect(first).toBeDefined();
    expect(first?.hour ?? 99).toBeGreaterThan(30);
    expect(crossing - (first?.hour ?? 99)).toBeGreaterThan(6);
    expect(first?.evidence).toMatch(/expected to be crossed in/);
    expect(raised.filter(({ kind }) => kind === 'over-pressure-ahead')).toHaveLength(1);
    expect(raised.find(({ kind }) => kind === 'over-pressure')?.priority).toBe('high');
  });

  it('believes a warming within the first day if the vessel stood still before, and no swing with the day', () => {
    const celsiusAt = (hour: number): number =>
      hour < 12 ? 4.44 : 21.11 - (21.11 - 4.44) * Math.exp(-(hour - 12) / 12);
    const rated = 32 * psi;
    const crossing = 12 + 12 * Math.log((36 - 17) / (36 - 32));
    const warming = run(keg(rated), 40, (hour) => published(celsiusAt(hour)), celsiusAt);
    const first = warming.raised.find(({ kind }) => kind === 'over-pressure-ahead');
    expect(crossing - (first?.hour ?? 99)).toBeGreaterThan(6);
    // Warmest at 17.4 degrees, where the published pressure is just short of the rating.
    const swinging = run(
      keg(published(18.5)),
      72,
      (hour) => published(12.4 - 5 * Math.cos((2 * Math.PI * hour) / 24)),
      (hour) => 12.4 - 5 * Math.cos((2 * Math.PI * hour) / 24),
    );
    expect(swinging.raised.map(({ kind }) => kind)).not.toContain('over-pressure-ahead');
  });

  it('does not warn of a warm-up that ends well below the rating', () => {
    const celsiusAt = (hour: number): number =>
      hour < 30 ? 4.44 : 12 - (12 - 4.44) * Math.exp(-(hour - 30) / 10);
    const { raised } = run(keg(60 * psi), 90, (hour) => published(celsiusAt(hour)), celsiusAt);
    expect(raised).toEqual([]);
  });

  it('tells refermentation at one temperature, and a leak, by name', () => {
    const fermenting = run(
      keg(60 * psi),
      60,
      (hour) => (17 + Math.max(0, hour - 24) * 0.25) * psi,
      () => 4.44,
    );
    expect(fermenting.raised.map(({ kind }) => kind)).toContain('refermentation');
    const leaking = run(
      keg(60 * psi),
      96,
      (hour) => (17 - Math.max(0, hour - 20) * 0.08) * psi,
      () => 4.44,
    );
    expect(leaking.raised.map(({ kind }) => kind)).toEqual(['leak']);
  });

  it('takes pours by day for what they are', () => {
    let pressure = 17;
    const { raised } = run(
      keg(60 * psi),
      120,
      (hour) => {
        const day = hour % 24;
        if (day >= 15 && day < 23 && hour % 1 === 0) pressure -= 0.15;
        return pressure * psi;
      },
      () => 4.44,
    );
    expect(raised).toEqual([]);
  });

  it('tells a slow leak from drink that is poured through long days and rests by night', () => {
    const slow = run(
      keg(60 * psi),
      72,
      (hour) => 17 * psi * Math.exp(-Math.max(0, hour - 12) / 300),
      () => 4.44,
    );
    expect(slow.raised.map(({ kind }) => kind)).toEqual(['leak']);
    expect(slow.raised[0]?.evidence).toMatch(/by night as by day/);
    // The same loss within fourteen hours of each day, as a taproom has it.
    let pressure = 17;
    const poured = run(
      keg(60 * psi),
      96,
      (hour) => {
        const day = hour % 24;
        if (hour > 12 && day >= 9 && day < 23) pressure *= Math.exp(-(24 / 14) / 4 / 300);
        return pressure * psi;
      },
      () => 4.44,
    );
    expect(poured.raised).toEqual([]);
  });

  it('knows gas that a drink takes up after a shot of it: the fall comes to rest', () => {
    const { raised } = run(
      keg(90 * psi),
      96,
      (hour) => (hour < 20 ? 17 : 20 + 12 * Math.exp(-(hour - 20) / 7)) * psi,
      () => 4.44,
    );
    expect(raised.map(({ kind }) => kind)).not.toContain('leak');
  });

  it('blames nothing on the drink while a gas supply holds the pressure', () => {
    const { raised } = run(
      keg(60 * psi, true),
      60,
      (hour) => (hour < 30 ? 17 : 26) * psi,
      () => 4.44,
    );
    expect(raised).toEqual([]);
  });

  it('waits for a second reading before it believes a leap, and not for a third', () => {
    const once = run(
      keg(25 * psi),
      20,
      (hour) => (hour === 10 ? 60 : 12) * psi,
      () => 4.44,
    );
    expect(once.raised).toEqual([]);
    const twice = run(
      keg(25 * psi),
      20,
      (hour) => (hour >= 10 ? 24.9 : 12) * psi,
      () => 4.44,
    );
    expect(twice.raised.map(({ kind, hour }) => `${kind} ${hour}`)).toContain(
      'over-pressure 10.25',
    );
  });
});
