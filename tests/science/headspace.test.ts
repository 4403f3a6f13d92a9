import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { equilibriumGaugePressure } from '../../src/science/carbonation.ts';
import { carbonDioxideGasDensity } from '../../src/science/gas-law.ts';
import {
  type ClosedVessel,
  carbonDioxideGramToReach,
  closedVesselAtPressure,
  closedVesselAtRest,
  liquidFullAtCelsius,
  pressureRisePerHour,
  totalCarbonDioxideGram,
} from '../../src/science/headspace.ts';
import { typicalBeer } from '../../src/science/solubility.ts';
import { right } from './right.ts';

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });

const vessels = fc.record({
  volume: between(1, 10_000),
  share: between(0.01, 0.9),
  filledAtCelsius: between(0, 25),
  alcohol: between(0, 20),
  extract: between(0, 150),
});

const vesselOf = (drawn: {
  volume: number;
  share: number;
  filledAtCelsius: number;
  alcohol: number;
  extract: number;
}): ClosedVessel => ({
  drink: { alcoholByVolumePercent: drawn.alcohol, extractGramPerLitre: drawn.extract },
  vesselVolumeLitre: drawn.volume,
  headspaceLitre: drawn.volume * drawn.share,
  filledAtCelsius: drawn.filledAtCelsius,
  ambientPressurePascal: 101_325,
});

const keg: ClosedVessel = {
  drink: typicalBeer,
  vesselVolumeLitre: 30,
  headspaceLitre: 1.5,
  filledAtCelsius: 4,
  ambientPressurePascal: 101_325,
};

describe('closed vessel', () => {
  test('all gas is in the liquid or above it, from 1 to 90 % headspace', () => {
    fc.assert(
      fc.property(vessels, between(0.2, 8), between(0, 40), (drawn, gram, celsius) => {
        const vessel = vesselOf(drawn);
        const total = gram * drawn.volume * (1 - 0.7 * drawn.share);
        const state = closedVesselAtRest(vessel, total, celsius);
        fc.pre(state.ok);
        if (!state.ok) return;
        expect(Math.abs(totalCarbonDioxideGram(state.value) / total - 1)).toBeLessThan(1e-9);
        expect(state.value.liquidVolumeLitre + state.value.headspaceLitre).toBeCloseTo(
          drawn.volume,
          6,
        );
      }),
    );
  });

  test('from pressure to content and back is the same pressure', () => {
    fc.assert(
      fc.property(vessels, between(1000, 500_000), between(0, 40), (drawn, gauge, celsius) => {
        const vessel = vesselOf(drawn);
        const state = closedVesselAtPressure(vessel, gauge, celsius);
        fc.pre(state.ok);
        if (!state.ok) return;
        const again = right(
          closedVesselAtRest(vessel, totalCarbonDioxideGram(state.value), celsius),
        );
        expect(Math.abs(again.gaugePressurePascal - gauge)).toBeLessThan(0.1);
      }),
    );
  });

  test('warmer or fuller of gas, the pressure is higher, and there is no jump', () => {
    fc.assert(
      fc.property(vessels, between(20_000, 250_000), between(0, 35), (drawn, gauge, celsius) => {
        const vessel = vesselOf(drawn);
        const state = closedVesselAtPressure(vessel, gauge, celsius);
        fc.pre(state.ok);
        if (!state.ok) return;
        const gram = totalCarbonDioxideGram(state.value);
        const warmer = closedVesselAtRest(vessel, gram, celsius + 0.01);
        fc.pre(warmer.ok);
        if (!warmer.ok) return;
        expect(warmer.value.gaugePressurePascal).toBeGreaterThan(state.value.gaugePressurePascal);
        expect(warmer.value.gaugePressurePascal - state.value.gaugePressurePascal).toBeLessThan(
          500,
        );
        const fuller = right(closedVesselAtRest(vessel, gram * 1.001, celsius));
        expect(fuller.gaugePressurePascal).toBeGreaterThan(state.value.gaugePressurePascal);
      }),
    );
  });

  test('with hardly any headspace it is the equilibrium of the liquid alone', () => {
    const tight = { ...keg, headspaceLitre: 0.3 };
    const state = right(closedVesselAtPressure(tight, 100_000, 4));
    const warm = right(closedVesselAtRest(tight, totalCarbonDioxideGram(state), 20));
    const liquidAlone = right(
      equilibriumGaugePressure({
        drink: typicalBeer,
        carbonDioxideGramPerLitre:
          state.carbonDioxideGramPerLitre * (state.liquidVolumeLitre / warm.liquidVolumeLitre),
        temperatureCelsius: 20,
        ambientPressurePascal: 101_325,
      }),
    );
    expect(Math.abs(warm.gaugePressurePascal / liquidAlone - 1)).toBeLessThan(0.03);
  });

  test('with 90 % headspace it nears a gas in a bottle', () => {
    const roomy = { ...keg, headspaceLitre: 27 };
    const state = right(closedVesselAtPressure(roomy, 200_000, 20));
    const gasOnly = right(carbonDioxideGasDensity(301_325, 20)) * 27;
    expect(Math.abs(state.headspaceGram / gasOnly - 1)).toBeLessThan(0.01);
    expect(state.headspaceGram).toBeGreaterThan(7 * state.dissolvedGram);
  });

  test('refermentation of 1 g/L of extract adds a quarter to a third of a bar at 20 °C', () => {
    // 0.46 g/L of gas in a keg that holds 1.6 g/L per bar: common sense, no source.
    const state = right(closedVesselAtPressure(keg, 150_000, 20));
    const more = totalCarbonDioxideGram(state) + 0.463 * state.liquidVolumeLitre;
    const rise =
      right(closedVesselAtRest(keg, more, 20)).gaugePressurePascal - state.gaugePressurePascal;
    expect(rise).toBeGreaterThan(25_000);
    expect(rise).toBeLessThan(33_000);
  });

  test('the rise per hour is what an hour of gas does', () => {
    fc.assert(
      fc.property(
        between(0.02, 0.6),
        between(5000, 300_000),
        between(2, 35),
        (share, gauge, celsius) => {
          const vessel = { ...keg, headspaceLitre: 30 * share };
          const state = right(closedVesselAtPressure(vessel, gauge, celsius));
          const rise = right(pressureRisePerHour(vessel, state, 0.05));
          const later = right(
            closedVesselAtRest(vessel, totalCarbonDioxideGram(state) + 0.05, celsius),
          );
          const seen = later.gaugePressurePascal - state.gaugePressurePascal;
          expect(Math.abs(rise / seen - 1)).toBeLessThan(1e-3);
        },
      ),
    );
  });

  test('the gas still to come before a pressure brings it there', () => {
    const state = right(closedVesselAtPressure(keg, 60_000, 12));
    const gram = right(carbonDioxideGramToReach(keg, state, 220_000));
    const there = right(closedVesselAtRest(keg, totalCarbonDioxideGram(state) + gram, 12));
    expect(there.gaugePressurePascal).toBeCloseTo(220_000, 1);
  });

  test('air left at sealing adds its pressure, and more as the headspace shrinks', () => {
    const sealed = { ...keg, headspaceLitre: 0.9, airPartialPressurePascal: 80_000 };
    const gram = 120;
    const without = right(closedVesselAtRest({ ...keg, headspaceLitre: 0.9 }, gram, 4));
    const cold = right(closedVesselAtRest(sealed, gram, 4));
    expect(cold.gaugePressurePascal - without.gaugePressurePascal).toBeCloseTo(80_000, 3);
    const warm = right(closedVesselAtRest(sealed, gram, 30));
    const warmWithout = right(closedVesselAtRest({ ...keg, headspaceLitre: 0.9 }, gram, 30));
    expect(warm.gaugePressurePascal - warmWithout.gaugePressurePascal).toBeGreaterThan(
      (80_000 * 303) / 277,
    );
  });

  test('a brim-full vessel has no answer but a warning, at the temperature it fills', () => {
    const brim = { ...keg, headspaceLitre: 0.3, filledAtCelsius: 0 };
    const full = right(liquidFullAtCelsius(brim));
    expect(full).not.toBeNull();
    if (full === null) return;
    expect(closedVesselAtRest(brim, 100, full + 0.1)).toMatchObject({
      ok: false,
      fault: { kind: 'liquid-full' },
    });
    expect(closedVesselAtRest(brim, 100, full - 0.1).ok).toBe(true);
    expect(right(liquidFullAtCelsius({ ...keg, headspaceLitre: 3 }))).toBeNull();
  });

  test('headspaces outside 1 to 90 % are refused with the bounds', () => {
    expect(closedVesselAtRest({ ...keg, headspaceLitre: 0.1 }, 100, 4)).toMatchObject({
      ok: false,
      fault: { kind: 'outside-range', field: 'headspaceLitre', low: 0.3, high: 27 },
    });
  });
});
