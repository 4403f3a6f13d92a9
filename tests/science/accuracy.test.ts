/** Every claim of accuracy-table.ts against its fixture; no row may vanish, no bound may be loose. */
import { readdirSync, readFileSync } from 'node:fs';
import { max, mean } from 'simple-statistics';
import { describe, expect, test } from 'vitest';
import { alcoholMassFromVolume } from '../../src/science/alcohol.ts';
import { attenuated, originalExtractFrom } from '../../src/science/balling.ts';
import { brixFromGravity } from '../../src/science/brix.ts';
import { carbonationAtPressure } from '../../src/science/carbonation.ts';
import { ethanolDensity } from '../../src/science/ethanol-density.ts';
import { carbonDioxideGasDensity, secondVirialAt } from '../../src/science/gas-law.ts';
import { extractFromGravity, gravityFromExtract } from '../../src/science/gravity.ts';
import { gravityFromHydrometer } from '../../src/science/hydrometer.ts';
import { refractiveIndex } from '../../src/science/refractometer.ts';
import { dissolvedCarbonDioxide, typicalBeer, water } from '../../src/science/solubility.ts';
import { gravityFromDensityAt20, sucroseDensity } from '../../src/science/sucrose-density.ts';
import { freeForMolecular } from '../../src/science/sulphur-dioxide.ts';
import { waterVapourPressurePascal } from '../../src/science/water-vapour.ts';
import { type AccuracyKey, type AccuracyRow, accuracyTable } from './accuracy-table.ts';
import { published } from './published.ts';
import { right } from './right.ts';

const percentOff = (value: number, truth: number): number => 100 * (value / truth - 1);

/** 1000 x mole fraction of carbon dioxide in water from grams per litre, to meet the handbook's unit. */
const moleFraction = (gramPerLitre: number, temperatureCelsius: number): number => {
  const gas = gramPerLitre / 44.0095;
  const liquid = right(sucroseDensity(0, temperatureCelsius)) / 18.01528;
  return (1000 * gas) / (gas + liquid);
};

const inWater = (kilopascal: number, temperatureCelsius: number): number =>
  moleFraction(
    right(
      dissolvedCarbonDioxide({
        drink: water,
        partialPressurePascal: 1000 * kilopascal,
        temperatureCelsius,
      }),
    ),
    temperatureCelsius,
  );

const gasChecks = (start: string): readonly (readonly [celsius: number, value: number])[] =>
  readFileSync(new URL('../../fixtures/published/co2_checks_seen.csv', import.meta.url), 'utf8')
    .split('\n')
    .filter((line) => line.startsWith(start))
    .map((line) => {
      const [key = '', value] = line.split(',');
      return [Number(key.slice(start.length, -1)), Number(value)];
    });

type Worked = Readonly<Record<'OE' | 'AE' | 'RE' | 'abw' | 'OE_back' | 'ADF' | 'RDF_ASBC', number>>;

const ballingCases = (): readonly Worked[] =>
  JSON.parse(
    readFileSync(
      new URL('../../fixtures/published/balling_worked_examples_computed.json', import.meta.url),
      'utf8',
    ),
  );

/** Each comparison answers one signed error per row of its fixture. */
const comparisons: Readonly<Record<AccuracyKey, () => readonly number[]>> = {
  'sucrose density, 20 °C': () =>
    published('crc_sucrose_20C.csv')
      .filter((row) => row.read('mass_pct') <= 60)
      .map(
        (row) =>
          right(sucroseDensity(row.read('mass_pct'), 20)) - 1000 * row.read('density_g_per_cm3'),
      ),

  'sucrose density, 0 to 40 °C': () =>
    published('sucrose_density_vs_temperature.csv').flatMap((row) =>
      [0, 4, 5, 10, 15, 18, 20, 22, 25, 30, 35, 40].map(
        (celsius) =>
          right(sucroseDensity(row.read('plato'), celsius)) - row.read(`rho_${celsius}C_kg_m3`),
      ),
    ),

  'extract from gravity': () =>
    published('plato_sg_table_0_30.csv').map(
      (row) => right(extractFromGravity(row.read('sg20_20_apparent_in_air'))) - row.read('plato'),
    ),

  'extract from handbook density': () =>
    published('crc_sucrose_20C.csv')
      .filter((row) => row.read('mass_pct') <= 30)
      .map((row) => {
        const gravity = gravityFromDensityAt20(1000 * row.read('density_g_per_cm3'));
        return right(extractFromGravity(gravity)) - row.read('mass_pct');
      }),

  'gravity from extract': () =>
    published('plato_sg_table_0_30.csv').map(
      (row) => right(gravityFromExtract(row.read('plato'))) - row.read('sg20_20_apparent_in_air'),
    ),

  'sugar from weight per gallon': () =>
    published('nbs_c440_lb_per_gallon_in_air_seen.csv')
      .filter((row) => row.read('brix') > 0)
      .map(
        (row) =>
          right(brixFromGravity(row.read('lb_per_US_gal_in_air_20C') / 8.322)) - row.read('brix'),
      ),

  'hydrometer correction': () =>
    published('hydrometer_temperature_correction_computed.csv')
      .filter((row) => row.read('T_C') !== 20)
      .flatMap((row) =>
        [0, 5, 10, 15, 20, 25].map((plato) => {
          const gravity = right(
            gravityFromHydrometer({
              readingGravity: right(gravityFromExtract(plato)),
              sampleTemperatureCelsius: row.read('T_C'),
              calibrationTemperatureCelsius: 20,
              alcoholByVolumePercent: 0,
            }),
          );
          return right(extractFromGravity(gravity)) - plato - row.read(`add_to_reading_${plato}P`);
        }),
      ),

  'refractive index, sucrose': () => [
    ...published('crc_sucrose_20C.csv')
      .filter((row) => row.read('mass_pct') <= 40)
      .map(
        (row) => right(refractiveIndex(row.read('mass_pct'), 0)) - row.read('refractive_index_nD'),
      ),
    ...published('oiv_refractometer_rows_seen.csv').map(
      (row) => right(refractiveIndex(row.read('sucrose_mass_pct'), 0)) - row.read('nD20'),
    ),
  ],

  'refractive index, ethanol': () =>
    published('crc_ethanol_20C.csv')
      .filter((row) => row.read('mass_pct') <= 24)
      .map(
        (row) => right(refractiveIndex(0, row.read('mass_pct'))) - row.read('refractive_index_nD'),
      ),

  'ethanol density, checksums': () =>
    (
      [
        [0, 20, 998.20123],
        [100, 20, 789.2391233],
        [0, 0, 999.8369332],
        [100, 0, 806.2151206],
        [50, 20, 913.770595],
      ] as const
    ).map(([percent, celsius, truth]) => right(ethanolDensity(percent, celsius)) - truth),

  'ethanol density, handbook': () =>
    published('crc_ethanol_20C.csv').map(
      (row) =>
        right(ethanolDensity(row.read('mass_pct'), 20)) - 1000 * row.read('density_g_per_cm3'),
    ),

  'mass % from % vol': () =>
    published('oiml_abv_abw_density_20C.csv').map(
      (row) => right(alcoholMassFromVolume(row.read('abv_pct'))) - row.read('abw_pct'),
    ),

  'alcohol by Balling': () =>
    ballingCases().flatMap((worked) => {
      const got = right(
        attenuated({ originalExtractPlato: worked.OE, apparentExtractPlato: worked.AE }),
      );
      return [
        got.realExtractPlato - worked.RE,
        got.alcoholMassPercent - worked.abw,
        100 * got.apparentAttenuation - worked.ADF,
        100 * got.realDegreeOfFermentation - worked.RDF_ASBC,
        originalExtractFrom(got.alcoholMassPercent, got.realExtractPlato) - worked.OE_back,
      ];
    }),

  'carbon dioxide gas density': () =>
    published('co2_gas_density_Z_coolprop.csv').map((row) =>
      percentOff(
        right(carbonDioxideGasDensity(1e5 * row.read('p_bar_abs'), row.read('T_C'))),
        row.read('rho_kg_m3_SpanWagner'),
      ),
    ),

  'second virial coefficient': () =>
    gasChecks('second_virial_').map(([celsius, value]) => 1e6 * secondVirialAt(celsius) - value),

  'water vapour pressure': () =>
    gasChecks('water_vapour_').map(([celsius, value]) =>
      percentOff(right(waterVapourPressurePascal(celsius)), 1000 * value),
    ),

  'carbon dioxide in water, handbook': () =>
    published('crc_co2_solubility_1000x.csv').map((row) =>
      percentOff(inWater(100, row.read('T_C')), row.read('100kPa')),
    ),

  'carbon dioxide in water, low pressure': () =>
    published('crc_co2_solubility_1000x.csv').flatMap((row) =>
      [5, 10, 20, 30, 40, 50].map(
        (kilopascal) => inWater(kilopascal, row.read('T_C')) - row.read(`${kilopascal}kPa`),
      ),
    ),

  'carbon dioxide in beer': () =>
    published('beer_co2_g_per_L_table_seen.csv').flatMap((row) =>
      Array.from({ length: 11 }, (_, tenth) => {
        const held = right(
          carbonationAtPressure({
            drink: typicalBeer,
            gaugePressurePascal: 1e4 * tenth,
            temperatureCelsius: row.read('T_C'),
            ambientPressurePascal: 101_325,
          }),
        );
        return held.carbonDioxideGramPerLitre - row.read(`${(tenth / 10).toFixed(1)}_bar_gauge`);
      }),
    ),

  'carbon dioxide in wine': () =>
    [10, 12.5, 15].flatMap((alcohol) =>
      [0, 10, 50].flatMap((sugar) =>
        [101_325, 400_000, 701_325].map((absolute) => {
          const regulation = 1.951e-5 * absolute * (0.86 - 0.01 * alcohol) * (1 - 0.00144 * sugar);
          const held = right(
            carbonationAtPressure({
              drink: { alcoholByVolumePercent: alcohol, extractGramPerLitre: sugar },
              gaugePressurePascal: absolute - 101_325,
              temperatureCelsius: 20,
              ambientPressurePascal: 101_325,
            }),
          );
          return percentOff(held.carbonDioxideGramPerLitre, regulation);
        }),
      ),
    ),

  'molecular sulphur dioxide': () =>
    published('molecular_so2_computed.csv').flatMap((row) => [
      right(freeForMolecular(0.5, row.read('pH'))) - row.read('free_mg_L_for_0.5'),
      right(freeForMolecular(0.8, row.read('pH'))) - row.read('free_mg_L_for_0.8'),
    ]),
};

test('every published file is named with its source in the provenance note', () => {
  const folder = new URL('../../fixtures/published/', import.meta.url);
  const note = readFileSync(new URL('README.md', folder), 'utf8');
  const files = readdirSync(folder).filter((file) => file !== 'README.md');
  expect(files.length).toBeGreaterThan(20);
  expect(files.filter((file) => !note.includes(`\`${file}\``))).toEqual([]);
});

describe('accuracy against published values', () => {
  for (const [key, claim] of Object.entries(accuracyTable) as [AccuracyKey, AccuracyRow][]) {
    test(`${claim.quantity}: within ${claim.max} ${claim.unit}`, () => {
      const errors = comparisons[key]().map(Math.abs);
      expect(errors).toHaveLength(claim.rows);
      const worst = max([...errors]);
      const typical = mean([...errors]);
      expect(worst, 'largest error').toBeLessThanOrEqual(claim.max);
      expect(typical, 'mean error').toBeLessThanOrEqual(claim.mean);
      if (claim.max > 1e-12) {
        expect(worst, 'the bound on the largest error is loose').toBeGreaterThan(claim.max / 2);
        expect(typical, 'the bound on the mean error is loose').toBeGreaterThan(claim.mean / 2);
      }
    });
  }
});
