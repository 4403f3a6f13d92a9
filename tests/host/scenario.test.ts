/**
 * The invented cellar is repeatable, and physics holds in it. Sources stand beside each check; the
 * scenario's own rates are assumptions and are held to published spans only.
 */
import { describe, expect, test } from 'vitest';
import { cool } from '../../src/host/scenario/cooled.ts';
import { stepHours, stepSeconds, troubles } from '../../src/host/scenario/course.ts';
import { type DeedKind, deedFor } from '../../src/host/scenario/deed.ts';
import { expected } from '../../src/host/scenario/expected.ts';
import { ferment, fermentedShare, pitched } from '../../src/host/scenario/fermenting.ts';
import {
  equilibriumPascal,
  filledKeg,
  headPressureAfter,
} from '../../src/host/scenario/sealed-keg.ts';
import { seededNoise } from '../../src/host/scenario/seeded-noise.ts';
import { type SimulatedStep, simulatedCellar } from '../../src/host/scenario/simulated-cellar.ts';
import {
  batches,
  fermentations,
  kegFill,
  steepAtDay,
  vessels,
} from '../../src/host/scenario/skerrow-yard.ts';
import { closedVesselAtRest } from '../../src/science/headspace.ts';
import { channels } from '../../src/science/units/channel.ts';
import { batchBody, vesselBody } from '../../src/web/contract.ts';

const steps = (14 * 86_400) / stepSeconds;

const play = (
  seed: number,
  deeds: readonly (readonly [atHours: number, deed: DeedKind])[] = [],
): readonly SimulatedStep[] => {
  const cellar = simulatedCellar(seed);
  return Array.from({ length: steps }, (_, index) => {
    for (const [atHours, deed] of deeds) if (atHours === index * stepHours) cellar.apply(deed);
    return cellar.step();
  });
};

const plain = play(1);
const truthOf = (
  played: readonly SimulatedStep[],
  vessel: (typeof vessels)[number]['vessel'],
  channel: keyof typeof channels,
): readonly number[] => played.map(({ truth }) => truth[vessel][channel] ?? Number.NaN);

describe('repeatable', () => {
  test('the same seed gives the same readings, bit for bit', () => {
    expect(play(1)).toEqual(plain);
  });

  test('another seed changes what sensors say and nothing that is true', () => {
    const other = play(2);
    expect(other.map(({ truth }) => truth)).toEqual(plain.map(({ truth }) => truth));
    const same = other.flatMap(({ readings }, index) =>
      readings.filter((reading, place) => reading.value === plain[index]?.readings[place]?.value),
    );
    const all = other.flatMap(({ readings }) => readings).length;
    expect(same.length / all).toBeLessThan(0.2);
  });

  test('the noise is normal: mean 0, standard deviation 1, and its moments within 5 standard errors', () => {
    const { normal, uniform } = seededNoise(7, 'moments');
    const count = 20_000;
    const drawn = Array.from({ length: count }, normal);
    const mean = drawn.reduce((sum, value) => sum + value, 0) / count;
    const variance = drawn.reduce((sum, value) => sum + (value - mean) ** 2, 0) / count;
    expect(Math.abs(mean)).toBeLessThan(5 / Math.sqrt(count));
    expect(Math.abs(variance - 1)).toBeLessThan(5 * Math.sqrt(2 / count));
    // 2.275 % lie beyond two standard deviations on either side.
    const beyond = drawn.filter((value) => value > 2).length / count;
    expect(Math.abs(beyond - 0.02275)).toBeLessThan(5 * Math.sqrt(0.02275 / count));
    const flat = Array.from({ length: count }, uniform);
    expect(flat.every((value) => value >= 0 && value < 1)).toBe(true);
    const flatMean = flat.reduce((sum, value) => sum + value, 0) / count;
    expect(Math.abs(flatMean - 0.5)).toBeLessThan(5 / Math.sqrt(12 * count));
  });
});

describe('readings', () => {
  test('every channel of every vessel reports each quarter of an hour, in order, in what can be', () => {
    const seen = new Map<string, number>();
    const last = new Map<string, number>();
    for (const { readings } of plain) {
      for (const { vessel, channel, afterSeconds, value } of readings) {
        const name = `${vessel}/${channel}`;
        expect(value).toBeGreaterThanOrEqual(channels[channel].lowest);
        expect(value).toBeLessThanOrEqual(channels[channel].highest);
        expect(afterSeconds).toBeGreaterThan(last.get(name) ?? -1);
        last.set(name, afterSeconds);
        seen.set(name, (seen.get(name) ?? 0) + 1);
      }
    }
    const steeped = steps - (steepAtDay * 86_400) / stepSeconds;
    const heard = troubles.batteryEmpty / stepHours;
    expect(Object.fromEntries(seen)).toEqual({
      'fermenter-1/gravity': steps,
      'fermenter-1/temperature': steps,
      'fermenter-2/gravity': steps,
      'fermenter-2/temperature': steps,
      // Its battery is empty and nobody replaces it in this telling.
      'fermenter-3/gravity': heard,
      'fermenter-3/temperature': steps,
      'bright-tank/gauge-pressure': steps,
      'bright-tank/temperature': steps,
      'keg-7/gauge-pressure': steps,
      'keg-7/temperature': steps,
      'barrel-3/temperature': steps,
      'barrel-3/humidity': steps,
      'steeping-tank/temperature': steeped,
      'steeping-tank/ph': steeped,
      'tank-room/temperature': steps,
      'tank-room/carbon-dioxide': steps,
      'tank-room/oxygen': steps,
    });
  });

  test('gravity is read with a noise of 0.0003 to 0.0006 SG, foam apart', () => {
    const errors = plain
      .slice(-600)
      .flatMap(({ readings, truth }) =>
        readings
          .filter(({ vessel, channel }) => vessel === 'fermenter-1' && channel === 'gravity')
          .map(({ value }) => value - (truth['fermenter-1'].gravity ?? Number.NaN)),
      );
    expect(errors).toHaveLength(600);
    const spread = Math.sqrt(errors.reduce((sum, error) => sum + error ** 2, 0) / errors.length);
    expect(spread).toBeGreaterThan(0.0003);
    expect(spread).toBeLessThan(0.0006);
  });

  test('the door takes every vessel and batch as it is described', () => {
    for (const vessel of vessels) expect(vesselBody.parse(vessel)).toEqual(vessel);
    const placed = batches(1_800_000_000);
    let written = 0;
    for (const { endedAt, deeds = [], ...batch } of placed) {
      expect(endedAt).toBeNull();
      // Who wrote a deed down is who holds the key.
      const body = { ...batch, deeds: deeds.map(({ by: _, ...deed }) => deed) };
      expect(batchBody.parse(body)).toEqual(body);
      written += deeds.length;
    }
    expect(written).toBe(2);
    expect(placed.length).toBe(vessels.length - 1);
  });
});

describe('fermentation', () => {
  const days = (temperatureCelsius: number, share: number): number => {
    let state = pitched;
    for (let hours = 0; ; hours += stepHours) {
      if (fermentedShare(state) >= share) return hours / 24;
      if (hours > 60 * 24) return Number.POSITIVE_INFINITY;
      state = ferment(state, { temperatureCelsius, hours: stepHours, dropping: false });
    }
  };

  test('top fermentation at 18 to 25 °C takes 2 to 7 days, bottom fermentation at 6 to 10 °C longer', () => {
    // H. McGee, On Food and Cooking.
    for (const celsius of [18, 20, 22, 25]) {
      expect(days(celsius, 0.95)).toBeGreaterThan(2);
      expect(days(celsius, 0.95)).toBeLessThan(7);
    }
    for (const celsius of [8, 9, 10]) {
      expect(days(celsius, 0.95)).toBeGreaterThan(7);
      expect(days(celsius, 0.95)).toBeLessThan(40);
    }
  });

  test('sugar only ever leaves, and a warmer wort is never behind a cooler one', () => {
    let cold = pitched;
    let warm = pitched;
    for (let step = 0; step < steps; step += 1) {
      const before = fermentedShare(cold);
      cold = ferment(cold, { temperatureCelsius: 12, hours: stepHours, dropping: false });
      warm = ferment(warm, { temperatureCelsius: 20, hours: stepHours, dropping: false });
      expect(fermentedShare(cold)).toBeGreaterThanOrEqual(before);
      expect(fermentedShare(cold)).toBeLessThanOrEqual(1);
      expect(fermentedShare(warm)).toBeGreaterThanOrEqual(fermentedShare(cold));
    }
  });

  test('a quarter of an hour is a short step: half of it gives the same to 1e-4 of the sugar', () => {
    let whole = pitched;
    let halves = pitched;
    let widest = 0;
    const step = { temperatureCelsius: 20, dropping: false };
    for (let index = 0; index < 800; index += 1) {
      whole = ferment(whole, { ...step, hours: stepHours });
      for (let half = 0; half < 2; half += 1)
        halves = ferment(halves, { ...step, hours: stepHours / 2 });
      widest = Math.max(widest, Math.abs(fermentedShare(whole) - fermentedShare(halves)));
    }
    expect(widest).toBeLessThan(1e-4);
  });

  test('gravity falls from original to limit, and stands far above it where the yeast drops out', () => {
    for (const name of ['fermenter-1', 'fermenter-3'] as const) {
      const gravity = truthOf(plain, name, 'gravity');
      expect(gravity[0]).toBeCloseTo(fermentations[name].originalGravity, 3);
      expect(gravity.at(-1)).toBeCloseTo(fermentations[name].limitGravity, 4);
    }
    const stalled = truthOf(plain, 'fermenter-2', 'gravity');
    expect((stalled.at(-1) ?? 0) - fermentations['fermenter-2'].limitGravity).toBeGreaterThan(
      0.012,
    );
    const band = batches(0).find(({ vessel }) => vessel === 'fermenter-2')?.temperatureBand;
    const temperature = truthOf(plain, 'fermenter-2', 'temperature');
    expect(Math.min(...temperature)).toBeGreaterThan((band?.lowCelsius ?? Infinity) + 0.5);
    expect(Math.max(...temperature)).toBeLessThan((band?.highCelsius ?? -Infinity) - 0.5);
  });
});

describe('keg 7', () => {
  const keg = filledKeg(kegFill.vessel, kegFill.carbonationVolumes);

  test('it holds the carbonation it was filled with', () => {
    const rest = closedVesselAtRest(keg.vessel, keg.carbonDioxideGram, keg.vessel.filledAtCelsius);
    if (!rest.ok) throw new Error(rest.fault.kind);
    expect(rest.value.volumes).toBeCloseTo(kegFill.carbonationVolumes, 6);
  });

  test('its pressure goes towards equilibrium only, and the length of the steps does not matter', () => {
    const rest = equilibriumPascal(keg, 20);
    const long = headPressureAfter(keg, 120_000, 20, 6);
    let short = 120_000;
    for (let step = 0; step < 24; step += 1) short = headPressureAfter(keg, short, 20, 0.25);
    expect(short / long).toBeCloseTo(1, 12);
    expect(long).toBeGreaterThan(120_000);
    expect(long).toBeLessThan(rest);
  });

  test('left alone in a warm store it passes its rating; with the store repaired in time it does not', () => {
    const rated = vessels.find(({ vessel }) => vessel === 'keg-7')?.ratedGaugePressurePascal ?? 0;
    expect(Math.max(...truthOf(plain, 'keg-7', 'gauge-pressure'))).toBeGreaterThan(1.1 * rated);
    const repaired = play(1, [[troubles.coldStoreFails + 20, 'cold-store-repaired']]);
    const pressure = truthOf(repaired, 'keg-7', 'gauge-pressure');
    expect(Math.max(...pressure)).toBeLessThan(0.95 * rated);
    expect(Math.max(...pressure)).toBeGreaterThan(0.7 * rated);
    expect(pressure.at(-1)).toBeLessThan(0.45 * rated);
  });
});

describe('the rest of the yard', () => {
  test('without cooling a vessel follows the law of cooling, whatever the step', () => {
    const cooler = {
      setPointCelsius: 2,
      swingCelsius: 0.3,
      coolingCelsiusPerHour: 1,
      hoursToRoom: 55,
    };
    let state = { temperatureCelsius: 2, cooling: false };
    for (let step = 0; step < 80; step += 1)
      state = cool(state, cooler, {
        roomCelsius: 20,
        heatCelsiusPerHour: 0,
        hours: 0.25,
        works: false,
      });
    // Newton: T = room + (T0 - room) exp(-t/tau), 20 hours.
    expect(state.temperatureCelsius).toBeCloseTo(20 - 18 * Math.exp(-20 / 55), 9);
  });

  test('the bright tank leaves its band and comes back once the pump runs', () => {
    const restarted = play(1, [[troubles.glycolPumpTrips + 12, 'glycol-pump-restarted']]);
    const temperature = truthOf(restarted, 'bright-tank', 'temperature');
    const before = temperature.slice(0, troubles.glycolPumpTrips / stepHours);
    expect(Math.max(...before)).toBeLessThan(3);
    expect(Math.max(...temperature)).toBeGreaterThan(4.2);
    expect(temperature.at(-1)).toBeLessThan(3);
  });

  test('the room stays under 5 000 ppm of carbon dioxide and over 19.5 % of oxygen', () => {
    // NIOSH recommended exposure limit (1994) and 30 CFR 75.321.
    expect(Math.max(...truthOf(plain, 'tank-room', 'carbon-dioxide'))).toBeLessThan(5_000);
    expect(Math.max(...truthOf(plain, 'tank-room', 'carbon-dioxide'))).toBeGreaterThan(700);
    expect(Math.min(...truthOf(plain, 'tank-room', 'oxygen'))).toBeGreaterThan(0.195);
  });

  test('people act on every alarm that is expected, and on no other', () => {
    for (const one of expected) {
      if (one.kind === 'alarm') expect(deedFor(one.vessel, one.alarm)).not.toBeNull();
    }
    expect(deedFor('barrel-3', 'temperature')).toBeNull();
  });
});
