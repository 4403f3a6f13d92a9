import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { attenuated, carbonDioxidePerExtract } from '../../src/science/balling.ts';
import {
  carbonationAtPressure,
  equilibriumGaugePressure,
  gramPerLitreFromVolumes,
  volumesFromGramPerLitre,
} from '../../src/science/carbonation.ts';
import {
  carbonDioxideGramPerHour,
  carbonDioxideMade,
  carbonDioxideReleased,
  greatestYield,
} from '../../src/science/gas-evolved.ts';
import { carbonDioxideGasDensity } from '../../src/science/gas-law.ts';
import { hydrostaticPressurePascal } from '../../src/science/hydrostatic.ts';
import { dissolvedCarbonDioxide, typicalBeer } from '../../src/science/solubility.ts';
import { published } from './published.ts';
import { right } from './right.ts';

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const drinks = fc.record({
  alcoholByVolumePercent: between(0, 24),
  extractGramPerLitre: between(0, 280),
});
const atmosphere = 101_325;

describe('solubility', () => {
  const held = (
    drink: { alcoholByVolumePercent: number; extractGramPerLitre: number },
    partialPressurePascal: number,
    temperatureCelsius: number,
  ) => right(dissolvedCarbonDioxide({ drink, partialPressurePascal, temperatureCelsius }));

  test('rises with pressure, falls with temperature, alcohol and extract', () => {
    fc.assert(
      fc.property(
        drinks,
        between(1000, 1_100_000),
        between(-2, 44),
        between(0.01, 1),
        (drink, pascal, celsius, step) => {
          const here = held(drink, pascal, celsius);
          expect(held(drink, pascal + 1e4 * step, celsius)).toBeGreaterThan(here);
          expect(held(drink, pascal, celsius + step)).toBeLessThan(here);
          const stronger = {
            ...drink,
            alcoholByVolumePercent: drink.alcoholByVolumePercent + step,
          };
          expect(held(stronger, pascal, celsius)).toBeLessThanOrEqual(here * (1 + 1e-12));
          const fuller = { ...drink, extractGramPerLitre: drink.extractGramPerLitre + step };
          expect(held(fuller, pascal, celsius)).toBeLessThan(here);
        },
      ),
    );
  });

  test('has no jump: a thousandth of a step moves it by no more than a thousandth', () => {
    fc.assert(
      fc.property(drinks, between(5e4, 1e6), between(-1.9, 44.9), (drink, pascal, celsius) => {
        const here = held(drink, pascal, celsius);
        const near = held(
          {
            alcoholByVolumePercent: drink.alcoholByVolumePercent + 1e-3,
            extractGramPerLitre: drink.extractGramPerLitre + 1e-3,
          },
          pascal + 1,
          celsius + 1e-3,
        );
        expect(Math.abs(near / here - 1)).toBeLessThan(1e-3);
      }),
    );
  });

  test('the reference table computed from Carroll et al. is met', () => {
    const rows = published('co2_solubility_water_computed_carroll1991.csv');
    for (const row of rows) {
      const got = held(
        { alcoholByVolumePercent: 0, extractGramPerLitre: 0 },
        atmosphere,
        row.read('T_C'),
      );
      expect(Math.abs(got / row.read('g_per_L_at_pCO2_1atm') - 1)).toBeLessThan(5e-4);
    }
    expect(rows).toHaveLength(41);
  });

  // ACS Omega 6 (2021) 9672, table 1: Henry's constant of sparkling wine at 10 °C about 2.1 g/L per bar.
  test('sparkling wine at 10 °C holds 2.1 g/L per bar within 4 %', () => {
    const wine = { alcoholByVolumePercent: 12.5, extractGramPerLitre: 10 };
    expect(Math.abs(held(wine, 1e5, 10) / 2.1 - 1)).toBeLessThan(0.04);
  });

  // Regulation (EEC) 2676/90, worked: 7.01325 bar absolute, 12.5 % vol, 10 g/L give 9.912 g/L.
  test('the worked example of the wine regulation is met within 1 %', () => {
    const got = right(
      carbonationAtPressure({
        drink: { alcoholByVolumePercent: 12.5, extractGramPerLitre: 10 },
        gaugePressurePascal: 600_000,
        temperatureCelsius: 20,
        ambientPressurePascal: atmosphere,
      }),
    );
    expect(Math.abs(got.carbonDioxideGramPerLitre / 9.912 - 1)).toBeLessThan(0.01);
  });

  // Trade figures for bottle fermentation: 24 g/L of sugar give 6 bar at 10 °C and 8 bar at 20 °C.
  test('24 g/L of sugar in a full bottle of wine give the trade 6 and 8 bar within 0.5 bar', () => {
    const carbonDioxideGramPerLitre = 24 * greatestYield.sucrose * 0.95;
    for (const [celsius, bar] of [
      [10, 6],
      [20, 8],
    ] as const) {
      const gauge = right(
        equilibriumGaugePressure({
          drink: { alcoholByVolumePercent: 12.4, extractGramPerLitre: 3 },
          carbonDioxideGramPerLitre,
          temperatureCelsius: celsius,
          ambientPressurePascal: atmosphere,
        }),
      );
      expect(Math.abs((gauge + atmosphere) / 1e5 - bar)).toBeLessThan(0.5);
    }
  });
});

describe('carbonation', () => {
  test('pressure to content to pressure is the same number', () => {
    fc.assert(
      fc.property(
        drinks,
        between(0, 600_000),
        between(-2, 45),
        between(75_000, 105_000),
        (drink, gaugePressurePascal, temperatureCelsius, ambientPressurePascal) => {
          const held = right(
            carbonationAtPressure({
              drink,
              gaugePressurePascal,
              temperatureCelsius,
              ambientPressurePascal,
            }),
          );
          fc.pre(held.carbonDioxideGramPerLitre <= 16);
          const back = right(
            equilibriumGaugePressure({
              drink,
              carbonDioxideGramPerLitre: held.carbonDioxideGramPerLitre,
              temperatureCelsius,
              ambientPressurePascal,
            }),
          );
          expect(Math.abs(back - gaugePressurePascal)).toBeLessThan(0.01);
        },
      ),
    );
  });

  test('thin air lets gas go: the same gauge pressure holds less in the hills', () => {
    const at = (ambientPressurePascal: number) =>
      right(
        carbonationAtPressure({
          drink: typicalBeer,
          gaugePressurePascal: 80_000,
          temperatureCelsius: 4,
          ambientPressurePascal,
        }),
      ).volumes;
    expect(at(85_000)).toBeLessThan(at(atmosphere));
  });

  // madsci.org engineering answer, 2000 (informal, soda): 3 volumes at 40 °F about 17 psi, at 70 °F 36.
  test.each([
    [4.44, 17],
    [21.11, 36],
  ])('3 volumes of soda at %d °C stand near %d psi', (temperatureCelsius, psi) => {
    const gauge = right(
      equilibriumGaugePressure({
        drink: { alcoholByVolumePercent: 0, extractGramPerLitre: 0 },
        carbonDioxideGramPerLitre: gramPerLitreFromVolumes(3),
        temperatureCelsius,
        ambientPressurePascal: atmosphere,
      }),
    );
    expect(Math.abs(gauge / 6894.757 - psi)).toBeLessThan(2);
  });

  test('a volume is the real gas at 0 °C and 1 atm (Span and Wagner: 1.97681 g/L)', () => {
    expect(Math.abs(right(carbonDioxideGasDensity(atmosphere, 0)) - 1.97681)).toBeLessThan(5e-4);
    expect(volumesFromGramPerLitre(gramPerLitreFromVolumes(2.4))).toBeCloseTo(2.4, 12);
  });
});

describe('gas evolved', () => {
  test('every gram of extract consumed gives 0.46286 g', () => {
    expect(carbonDioxidePerExtract).toBeCloseTo(0.46286, 5);
    const whole = right(
      carbonDioxideMade({
        originalExtractPlato: 12,
        fromExtractPlato: 12,
        toExtractPlato: 2.5,
        wortVolumeLitre: 1,
      }),
    );
    const balance = right(attenuated({ originalExtractPlato: 12, apparentExtractPlato: 2.5 }));
    // Per litre of wort of 1046.4 g: what is left of extract, by the beer's own mass.
    const beerGram = 1046.49 / (1 + 0.010665 * balance.alcoholMassPercent);
    const consumed = 0.12 * 1046.49 - (balance.realExtractPlato / 100) * beerGram;
    expect(Math.abs(whole.gram / (consumed * carbonDioxidePerExtract) - 1)).toBeLessThan(2e-4);
  });

  test('spans add up', () => {
    fc.assert(
      fc.property(between(6, 24), between(0, 1), between(0, 1), (original, a, b) => {
        const [near, far] = [
          original * (1 - 0.8 * Math.min(a, b)),
          original * (1 - 0.8 * Math.max(a, b)),
        ];
        const made = (fromExtractPlato: number, toExtractPlato: number) =>
          right(
            carbonDioxideMade({
              originalExtractPlato: original,
              fromExtractPlato,
              toExtractPlato,
              wortVolumeLitre: 10,
            }),
          ).gram;
        expect(made(original, near) + made(near, far)).toBeCloseTo(made(original, far), 8);
      }),
    );
  });

  test('the rate is the slope of what is made', () => {
    const rate = right(
      carbonDioxideGramPerHour({
        originalExtractPlato: 14,
        apparentExtractPlato: 8,
        extractFallPlatoPerHour: 0.2,
        wortVolumeLitre: 100,
      }),
    );
    const made = right(
      carbonDioxideMade({
        originalExtractPlato: 14,
        fromExtractPlato: 8.1,
        toExtractPlato: 7.9,
        wortVolumeLitre: 100,
      }),
    );
    expect(Math.abs(rate / made.gram - 1)).toBeLessThan(1e-3);
  });

  test('made is held and released, and nothing leaves before the liquid is full', () => {
    fc.assert(
      fc.property(
        between(8, 20),
        between(0, 0.8),
        between(0, 100_000),
        (original, share, gauge) => {
          const got = right(
            carbonDioxideReleased({
              originalExtractPlato: original,
              apparentExtractPlato: original * (1 - share),
              wortVolumeLitre: 50,
              drink: typicalBeer,
              gaugePressurePascal: gauge,
              temperatureCelsius: 18,
              ambientPressurePascal: atmosphere,
            }),
          );
          expect(got.heldGram + got.releasedGram).toBeCloseTo(got.madeGram, 9);
          expect(got.releasedGram).toBeGreaterThanOrEqual(0);
        },
      ),
    );
  });

  test('the greatest yields are those of the equations', () => {
    expect(greatestYield.sucrose).toBeCloseTo((4 * 44.0095) / 342.297, 4);
    expect(greatestYield.hexose).toBeCloseTo((2 * 44.0095) / 180.156, 4);
  });
});

test('ten metres of water weigh 0.98 bar', () => {
  expect(right(hydrostaticPressurePascal(10, 998.2))).toBeCloseTo(97_890, -1);
});
