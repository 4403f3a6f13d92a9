/**
 * The calculations over HTTP, held against published tables and against values worked out here by hand from
 * the source named. Tables marked "computed" in fixtures/published/README.md were made by other code.
 */
import { describe, expect, test } from 'vitest';
import balling from '../../fixtures/published/balling_worked_examples_computed.json';
import { calculations } from '../../src/web/calculations/table.ts';
import { askCalculations, calculate, figure } from './calculation-requests.ts';
import { between, publishedRows, type Row } from './published-text.ts';

const water = { alcoholByVolumePercent: 0, extractGramPerLitre: 0 };
const atmosphere = 101_325;

/** The names checked below; the last test holds them against the list that the server gives. */
const checked = new Set<string>();

const check = (name: string, says: string, run: () => Promise<void>): void => {
  checked.add(name);
  test(`${name}: ${says}`, run, 30_000);
};

/** Runs every row, and fails where fewer were compared than the table has. */
const everyRow = async <One>(
  rows: readonly One[],
  count: number,
  compare: (row: One) => Promise<void>,
): Promise<void> => {
  let compared = 0;
  for (const row of rows) {
    await compare(row);
    compared += 1;
  }
  expect(compared).toBe(count);
};

const near = (got: number, expected: number, within: number): void => {
  expect(Math.abs(got - expected), `${got} beside ${expected}`).toBeLessThanOrEqual(within);
};

const share = (got: number, expected: number, within: number): void =>
  near(got / expected, 1, within);

const gravityOf = (plato: number): Promise<number> =>
  figure('gravity-and-extract', { value: plato, scale: '°P' }, 'gravity');

describe('gravity and extract', () => {
  check('gravity-and-extract', 'the Plato table, to 0.02 °P and 1e-4', async () => {
    await everyRow(publishedRows('plato'), 34, async (row) => {
      const gravity = row('sg20_20_apparent_in_air');
      near(
        await figure('gravity-and-extract', { value: gravity, scale: 'SG' }, 'extractPlato'),
        row('plato'),
        0.02,
      );
      near(await gravityOf(row('plato')), gravity, 1e-4);
    });
  });

  test('gravity-and-extract: below water there is no Brix, and it says so with null', async () => {
    const { results } = await calculate('gravity-and-extract', { value: 0.995, scale: 'SG' });
    expect(results.brix).toBeNull();
    expect(results.extractPlato).toBeLessThan(0);
  });

  check('hydrometer', 'the computed ICUMSA corrections, to 0.01 °P', async () => {
    const cells = publishedRows('hydrometer').flatMap((row) =>
      [0, 5, 10, 15, 20, 25].map((plato) => ({ row, plato })),
    );
    await everyRow(cells, 84, async ({ row, plato }) => {
      const extract = await figure(
        'hydrometer',
        { readingGravity: await gravityOf(plato), sampleTemperatureCelsius: row('T_C') },
        'extractPlato',
      );
      near(extract - plato, row(`add_to_reading_${plato}P`), 0.01);
    });
  });

  check('density-meter', 'the ICUMSA densities from 0 to 40 °C, to 0.02 °P', async () => {
    const cells = publishedRows('density')
      .filter((row) => row('plato') <= 30)
      .flatMap((row) => [0, 4, 10, 20, 30, 40].map((celsius) => ({ row, celsius })));
    expect(cells.length).toBeGreaterThanOrEqual(36);
    await everyRow(cells, cells.length, async ({ row, celsius }) => {
      const extract = await figure(
        'density-meter',
        { densityKilogramPerCubicMetre: row(`rho_${celsius}C_kg_m3`), temperatureCelsius: celsius },
        'extractPlato',
      );
      near(extract, row('plato'), 0.02);
    });
  });

  // Balling's worked drinks; their refractive index from the CRC tables, read back on the sucrose scale.
  check(
    'refractometer',
    'real extract and alcohol of drinks worked by Balling, to 0.1',
    async () => {
      await everyRow(balling, 5, async (drink) => {
        const index =
          between('sucrose', 'mass_pct', drink.RE, 'refractive_index_nD') +
          between('ethanol', 'mass_pct', drink.abw, 'refractive_index_nD') -
          1.33299;
        const readingBrix = between('sucrose', 'refractive_index_nD', index, 'mass_pct');
        const { results } = await calculate('refractometer', {
          readingBrix,
          originalExtractPlato: drink.OE,
        });
        near(Number(results.realExtractPlato), drink.RE, 0.1);
        near(Number(results.alcoholMassPercent), drink.abw, 0.05);
      });
    },
  );

  check('refractometer-temperature', 'OIV table I, every cell', async () => {
    const cells = publishedRows('refractometer').flatMap((row) =>
      [10, 15, 20, 25, 30].map((brix) => ({ row, brix })),
    );
    await everyRow(cells, 65, async ({ row, brix }) => {
      const correction = await figure(
        'refractometer-temperature',
        { readingBrix: brix, sampleTemperatureCelsius: row('T_C') },
        'correctionBrix',
      );
      near(correction, row(String(brix)), 1e-9);
    });
  });
});

describe('alcohol', () => {
  check('alcohol', "Balling's worked drinks, to 0.01", async () => {
    await everyRow(balling, 5, async (drink) => {
      const { results } = await calculate('alcohol', {
        originalGravity: await gravityOf(drink.OE),
        presentGravity: await gravityOf(drink.AE),
      });
      near(Number(results.originalExtractPlato), drink.OE, 1e-6);
      near(Number(results.realExtractPlato), drink.RE, 0.01);
      near(Number(results.alcoholMassPercent), drink.abw, 0.01);
      near(100 * Number(results.apparentAttenuationShare), drink.ADF, 0.01);
      near(100 * Number(results.realDegreeOfFermentationShare), drink.RDF_ASBC, 0.01);
      // By definition (Directive 76/766/EEC): mass % times the density over that of ethanol.
      const density = (await gravityOf(drink.AE)) * (998.203 - 1.2) + 1.2;
      near(Number(results.alcoholByVolumePercent), (drink.abw * density) / 789.2391, 0.005);
    });
  });

  check('alcohol-by-mass', 'OIML R 22, to 0.001 mass % and 0.002 kg/m3', async () => {
    const rows = publishedRows('strength');
    await everyRow(rows, 35, async (row) => {
      const { results } = await calculate('alcohol-by-mass', {
        alcoholByVolumePercent: row('abv_pct'),
      });
      near(Number(results.alcoholMassPercent), row('abw_pct'), 0.001);
      near(Number(results.densityKilogramPerCubicMetre), row('rho20_kg_m3'), 0.002);
    });
  });

  check('alcohol-by-volume', 'OIML R 22, to 0.001 % vol', async () => {
    await everyRow(publishedRows('strength'), 35, async (row) => {
      const strength = await figure(
        'alcohol-by-volume',
        { alcoholMassPercent: row('abw_pct') },
        'alcoholByVolumePercent',
      );
      near(strength, row('abv_pct'), 0.001);
    });
  });

  // Masses by OIML R 22: 10 L of water and 5 L of spirit of 60 % vol, nothing fermented.
  check('alcohol-after-additions', 'spirit in water comes to what OIML R 22 says', async () => {
    const spirit = between('strength', 'abv_pct', 60, 'rho20_kg_m3');
    const ethanolGram = 5 * 0.6 * 789.2391;
    const massPercent = (100 * ethanolGram) / (10 * 998.203 + 5 * spirit);
    const strength = between('strength', 'abw_pct', massPercent, 'abv_pct');
    const density = between('strength', 'abw_pct', massPercent, 'rho20_kg_m3');
    const { results } = await calculate('alcohol-after-additions', {
      wortVolumeLitre: 10,
      originalGravity: 1,
      // A tenth of a point heavier: what has no extract cannot have become lighter by fermenting.
      presentGravity: (density - 1.2) / (998.203 - 1.2) + 1e-4,
      additions: [{ what: 'spirit', litre: 5, alcoholByVolumePercent: 60 }],
    });
    near(Number(results.alcoholByVolumePercent), strength, 0.02);
    near(Number(results.addedAsSpiritShare), 1, 0.005);
    near(Number(results.volumeLitre), (10 * 998.203 + 5 * spirit) / density, 0.01);
  });

  test('alcohol-after-additions: with none it keeps to the quotient of MEBAK, 0.81, to 0.1 °P', async () => {
    await everyRow([8, 10, 12, 14, 16], 5, async (plato) => {
      const apparent = 0.22 * plato;
      const real = await figure(
        'alcohol-after-additions',
        {
          wortVolumeLitre: 20,
          originalGravity: await gravityOf(plato),
          presentGravity: await gravityOf(apparent),
          additions: [],
        },
        'realExtractPlato',
      );
      near(real, plato - 0.81 * (plato - apparent), 0.1);
    });
  });
});

describe('carbon dioxide and pressure', () => {
  check('carbonation-at-pressure', 'all 297 cells of the beer table, to 0.06 g/L', async () => {
    const cells = publishedRows('beer').flatMap((row) =>
      Array.from({ length: 11 }, (_, tenth) => ({ row, tenth })),
    );
    await everyRow(cells, 297, async ({ row, tenth }) => {
      const held = await figure(
        'carbonation-at-pressure',
        { gaugePressurePascal: 10_000 * tenth, temperatureCelsius: row('T_C') },
        'carbonDioxideGramPerLitre',
      );
      near(held, row(`${(tenth / 10).toFixed(1)}_bar_gauge`), 0.06);
    });
  });

  // Regulation (EEC) 2676/90, chapter 37, worked: 12.5 % vol, 10 g/L, 9.912 g/L at 20 °C: 7.01325 bar.
  check(
    'pressure-for-carbonation',
    'the worked example of the wine regulation, to 1 %',
    async () => {
      const wine = {
        carbonDioxideGramPerLitre: 9.912,
        temperatureCelsius: 20,
        alcoholByVolumePercent: 12.5,
        extractGramPerLitre: 10,
      };
      share(
        await figure('pressure-for-carbonation', wine, 'absolutePressurePascal'),
        701_325,
        0.01,
      );
      // Span and Wagner: a volume is the density of the gas at 0 °C and 1 atm.
      const volume = publishedRows('gasDensity')[0]?.('rho_kg_m3_SpanWagner') ?? 0;
      share(await figure('pressure-for-carbonation', wine, 'volumes'), 9.912 / volume, 1e-4);
    },
  );

  const bottle = {
    vesselVolumeLitre: 0.77,
    headspaceLitre: 0.015,
    ratedGaugePressurePascal: 600_000,
    temperatureCelsius: 12,
    warmestCelsius: 20,
    carbonDioxideGramPerLitre: 0,
    fermentableGramPerLitre: 24,
    alcoholByVolumePercent: 12,
    extractGramPerLitre: 28,
  };

  // Trade figure for bottle fermentation: 24 g/L of sugar give 8 bar at 20 °C.
  check('closed-vessel', '24 g/L of sugar in a bottle give the trade 8 bar, to 0.5', async () => {
    const { results, caution } = await calculate('closed-vessel', bottle);
    const likely = Number(results.gaugePressureLikelyPascal) + atmosphere;
    const greatest = Number(results.gaugePressureGreatestPascal) + atmosphere;
    near((likely + greatest) / 2 / 1e5, 8, 0.5);
    expect(results.verdict).toMatchObject({ kind: 'too-much-if-it-referments' });
    expect(Number(results.ratingTakenShare)).toBeGreaterThan(1.1);
    expect(caution).toContain('nameplate');
  });

  test('closed-vessel: what the gauge reads at rest stands for the carbonation', async () => {
    const keg = {
      vesselVolumeLitre: 50,
      headspaceLitre: 2.5,
      temperatureCelsius: 4,
      warmestCelsius: 25,
      fermentableGramPerLitre: 0,
    };
    const atFour = publishedRows('beer').find((row) => row('T_C') === 4) as Row;
    const byGauge = await calculate('closed-vessel', { ...keg, gaugePressurePascal: 90_000 });
    near(Number(byGauge.results.carbonationVolumes) * 1.97681, atFour('0.9_bar_gauge'), 0.06);
    const held = Number(byGauge.results.carbonationVolumes) * 1.97681;
    const byContent = await calculate('closed-vessel', { ...keg, carbonDioxideGramPerLitre: held });
    near(Number(byContent.results.gaugePressurePresentPascal), 90_000, 1);
    expect(byContent.results.verdict).toMatchObject({ kind: 'no-rating' });
  });

  // At 90 % headspace the gas law rules: what an hour makes, less the tenth part that the beer takes up.
  check('pressure-rise', 'the gas law and the beer table, to 3 %', async () => {
    const { results } = await calculate('pressure-rise', {
      vesselVolumeLitre: 100,
      headspaceLitre: 90,
      ratedGaugePressurePascal: 100_000,
      gaugePressurePascal: 50_000,
      temperatureCelsius: 20,
      originalGravity: 1.048,
      presentGravity: 1.016,
      extractFallPlatoPerDay: 2.4,
    });
    const gramPerHour = Number(results.carbonDioxideGramPerHour);
    // Balling: 0.8192 of the fall is real extract, 0.46286 g of gas a gram, 10 L of some 1.046 kg of wort.
    share(gramPerHour, (2.4 / 24) * 0.01 * 0.8192 * 0.46286 * 10 * 1046, 0.05);
    const atTwenty = publishedRows('beer').find((row) => row('T_C') === 20) as Row;
    const gramPerPascal =
      (10 * (atTwenty('1.0_bar_gauge') - atTwenty('0.0_bar_gauge')) +
        90 * (44.0095 / (8.314462618 * 293.15)) * 100) /
      1e5;
    share(Number(results.pressureRisePascalPerHour), gramPerHour / gramPerPascal, 0.03);
    share(Number(results.hoursToRating), 50_000 / Number(results.pressureRisePascalPerHour), 0.03);
  });

  check('gas-evolved', "Balling's 0.46286 g of gas per gram of extract, to 0.2 %", async () => {
    const [drink] = balling;
    if (drink === undefined) throw new Error('no worked drink');
    const { results, caution } = await calculate('gas-evolved', {
      originalGravity: await gravityOf(drink.OE),
      presentGravity: await gravityOf(drink.AE),
      wortVolumeLitre: 1,
      temperatureCelsius: 20,
    });
    const wortGram = 1000 * between('sucrose', 'mass_pct', drink.OE, 'density_g_per_cm3');
    const beerGram = wortGram / (1 + 0.010665 * drink.abw);
    const consumed = (drink.OE / 100) * wortGram - (drink.RE / 100) * beerGram;
    share(Number(results.madeGram), consumed * 0.46286, 0.002);
    // Span and Wagner: the density of the gas at 20 °C and 1 atm.
    const gas = publishedRows('gasDensity').find(
      (row) => row('T_C') === 20 && row('p_bar_abs') === 1.01325,
    ) as Row;
    share(Number(results.madeLitre), Number(results.madeGram) / gas('rho_kg_m3_SpanWagner'), 1e-3);
    // The beer table has 1.7 g/L at 20 °C without pressure.
    near(Number(results.heldGram), 1.7, 0.06);
    expect(caution).toContain('no gas detector');
  });

  check('hydrostatic-pressure', 'ten metres of water weigh 0.979 bar', async () => {
    const body = { depthMetre: 10, densityKilogramPerCubicMetre: 998.2 };
    near(await figure('hydrostatic-pressure', body, 'pressurePascal'), 97_890, 1);
  });

  check('local-air-pressure', 'ISO 2533 at 0, 1000 and 2000 m, to 1e-4', async () => {
    const standard = [
      { heightMetre: 0, pascal: 101_325 },
      { heightMetre: 1000, pascal: 89_874.6 },
      { heightMetre: 2000, pascal: 79_495.2 },
    ];
    await everyRow(standard, 3, async ({ heightMetre, pascal }) => {
      share(
        await figure('local-air-pressure', { heightMetre }, 'ambientPressurePascal'),
        pascal,
        1e-4,
      );
    });
  });
});

describe('blending', () => {
  const pure = { name: 'Water', ...water };

  check('blend', '50 L of alcohol and 50 L of water fill what OIML R 22 says', async () => {
    const { results } = await calculate('blend', {
      components: [
        { ...pure, name: 'Alcohol', alcoholByVolumePercent: 100, litre: 50 },
        { ...pure, litre: 50 },
      ],
    });
    const mass = 50 * 789.2391 + 50 * 998.203;
    const massPercent = (100 * 50 * 789.2391) / mass;
    near(Number(results.massKilogram), mass / 1000, 1e-3);
    near(
      Number(results.alcoholByVolumePercent),
      between('strength', 'abw_pct', massPercent, 'abv_pct'),
      0.1,
    );
    const { results: strength } = await calculate('alcohol-by-volume', {
      alcoholMassPercent: massPercent,
    });
    share(Number(results.volumeLitre), mass / Number(strength.densityKilogramPerCubicMetre), 1e-5);
    near(Number(results.contractionShare), 0.0354, 1e-4);
    expect(results.verdict).toBeNull();
    expect(results.unjudged).toContain('No keg was described');
  });

  test('blend: masses may stand for volumes, and what nobody measured is null with a name', async () => {
    const { results } = await calculate('blend', {
      components: [
        { ...pure, kilogram: 9.98203 },
        { ...pure, name: 'More', litre: 10, titratableAcidGramPerLitre: 6 },
      ],
      vesselVolumeLitre: 25,
      headspaceLitre: 5,
      filledAtCelsius: 4,
      warmestCelsius: 25,
    });
    near(Number(results.volumeLitre), 20, 1e-4);
    expect(results.titratableAcidGramPerLitre).toBeNull();
    expect(results.unjudged).toContain('fermentable extract of Water, More');
  });

  test('blend: the verdict on the keg is that of the closed vessel', async () => {
    const drink = { alcoholByVolumePercent: 6.4, extractGramPerLitre: 47 };
    const keg = {
      vesselVolumeLitre: 50,
      headspaceLitre: 2.5,
      ratedGaugePressurePascal: 300_000,
      warmestCelsius: 25,
    };
    const inKeg = await calculate('blend', {
      components: [
        {
          name: 'Wheat beer with elderberry wine',
          litre: 47.5,
          ...drink,
          fermentableGramPerLitre: 18,
          carbonDioxideGramPerLitre: 4.5,
        },
      ],
      ...keg,
      filledAtCelsius: 4,
    });
    const shut = await calculate('closed-vessel', {
      ...keg,
      ...drink,
      temperatureCelsius: 4,
      fermentableGramPerLitre: 18,
      carbonDioxideGramPerLitre: 4.5,
    });
    expect(inKeg.results.verdict).toMatchObject({ kind: 'too-much-if-it-referments' });
    near(
      Number(inKeg.results.gaugePressureGreatestPascal),
      Number(shut.results.gaugePressureGreatestPascal),
      1,
    );
    expect(inKeg.results.unjudged).toBeNull();
  });

  // The cross of mixing (common practice): share = (wanted - weak) / (strong - weak).
  check('blend-shares', 'the cross of mixing: 8 % vol from 12 and 4 are halves', async () => {
    const { results } = await calculate('blend-shares', {
      candidates: [
        { name: 'Strong', alcoholByVolumePercent: 12, extractGramPerLitre: 20 },
        { name: 'Weak', alcoholByVolumePercent: 4, extractGramPerLitre: 20 },
      ],
      targets: [{ property: 'alcoholByVolumePercent', low: 7.9, high: 8.1 }],
    });
    expect(results.verdict).toMatchObject({ kind: 'met' });
    const shares = results.shares as readonly { readonly name: string; readonly share: number }[];
    expect(shares.map(({ name }) => name)).toEqual(['Strong', 'Weak']);
    // Mixing them contracts by a thousandth or less, which the cross leaves out.
    near(shares[0]?.share ?? 0, 0.5, 0.002);
    near(Number(results.alcoholByVolumePercent), 8, 0.001);
  });

  // By hand: 45 L from a trial of 100 mL of one and the same drink is 450 times; order by common practice.
  check(
    'scale-up',
    '45 L from a trial of 100 mL draw 450 times as much, the sparkling last',
    async () => {
      const drink = { alcoholByVolumePercent: 5, extractGramPerLitre: 40 };
      const { results } = await calculate('scale-up', {
        wantedLitre: 45,
        vesselVolumeLitre: 50,
        headspaceLitre: 2.5,
        lines: [
          { name: 'Sparkling', trialMillilitre: 60, ...drink, carbonDioxideGramPerLitre: 4 },
          { name: 'Small', trialMillilitre: 15, ...drink },
          { name: 'Large', trialMillilitre: 25, ...drink },
        ],
      });
      near(Number(results.factor), 450, 1e-6);
      expect(results.sheet).toMatchObject([
        { order: 1, name: 'Large', drawLitre: 11.3, soFarLitre: 11.3 },
        { order: 2, name: 'Small', drawLitre: 6.8, soFarLitre: 18.1 },
        { order: 3, name: 'Sparkling', drawLitre: 27 },
      ]);
      near(Number(results.volumeLitre), 45.1, 1e-6);
    },
  );
});

describe('fermentation, steeping and the air', () => {
  // 560 to 650 kJ per kg of extract over 4.05 kJ/(kg K), the extract consumed by Balling.
  check('heat', "Balling's first worked drink warms by 11 to 13 K", async () => {
    const [drink] = balling;
    if (drink === undefined) throw new Error('no worked drink');
    const gravity = await gravityOf(drink.OE);
    const { results } = await calculate('heat', {
      originalGravity: gravity,
      presentGravity: gravity,
      terminalGravity: await gravityOf(drink.AE),
      extractFallPlatoPerDay: 3,
      wortVolumeLitre: 100,
      temperatureCelsius: 19,
      limitCelsius: 22,
    });
    const alcohol = drink.abw / 100;
    const consumed = (2.0665 * alcohol) / (1 + 1.0665 * alcohol);
    near(Number(results.riseLowKelvin), (consumed * 560) / 4.05, 1e-3);
    near(Number(results.riseHighKelvin), (consumed * 650) / 4.05, 1e-3);
    // At a steady rate 3 K of the greatest rise take 3 / rise of the time of the whole fall.
    const steady = (24 * (drink.OE - drink.AE) * 3) / (3 * Number(results.riseHighKelvin));
    expect(Number(results.earliestHours)).toBeLessThan(steady);
    expect(Number(results.latestHours)).toBeGreaterThan(steady);
  });

  // FDA Food Code 2009, 3-501.17 and 3-501.19.
  check(
    'steep-clock',
    'the limits of the Food Code: seven days cold, 4 h warm, 6 h begun cold',
    async () => {
      const at = (afterHours: number, temperatureCelsius: number) => ({
        afterHours,
        temperatureCelsius,
      });
      const cold = await calculate('steep-clock', {
        standingHours: 20,
        readings: [at(0, 4), at(20, 4)],
      });
      expect(cold.results).toMatchObject({ verdict: { kind: 'cold' }, leftHours: 124 });
      const warm = await calculate('steep-clock', { standingHours: 3, readings: [at(0, 18)] });
      expect(warm.results).toMatchObject({
        verdict: { kind: 'out-of-cold' },
        leftHours: 1,
        warmLimitHours: 4,
      });
      const over = await calculate('steep-clock', { standingHours: 4.1, readings: [at(0, 18)] });
      expect(over.results).toMatchObject({ verdict: { kind: 'over' }, leftHours: 0 });
      const began = await calculate('steep-clock', {
        standingHours: 6,
        readings: [at(0, 5), at(1, 5), at(2, 15), at(6, 15)],
        pH: 4.6,
      });
      expect(began.results).toMatchObject({ warmHours: 5, warmLimitHours: 6, highestCelsius: 15 });
    },
  );

  // Litres over cubic metres by hand; limits of NIOSH, 1994.
  check(
    'room-air',
    'a shut room rises by litres over cubic metres; an aired one settles',
    async () => {
      const shut = await calculate('room-air', {
        gasLitrePerHour: 60,
        roomVolumeCubicMetre: 30,
        airChangesPerHour: 0,
        startPpm: 430,
        hours: 2,
      });
      near(Number(shut.results.afterHoursPpm), 430 + 4000, 1e-6);
      expect(shut.results.settledPpm).toBeNull();
      near(Number(shut.results.hoursToWorkingDayLimit), (5000 - 430) / 2000, 1e-9);
      near(Number(shut.results.hoursToDangerousLimit), (40_000 - 430) / 2000, 1e-9);
      near(Number(shut.results.airChangesToStayBelowLimit), 2000 / (5000 - 430), 1e-9);
      const aired = await calculate('room-air', {
        gasLitrePerHour: 60,
        roomVolumeCubicMetre: 30,
        airChangesPerHour: 1,
        hours: 100,
      });
      near(Number(aired.results.settledPpm), 430 + 2000, 1e-6);
      near(Number(aired.results.oxygenShare), 0.2095 * (1 - 2430e-6), 1e-6);
      expect(aired.results.hoursToWorkingDayLimit).toBeNull();
    },
  );

  check('sudden-release', 'a keg let go into 3 m3 passes the danger line of NIOSH', async () => {
    const ppm = await figure(
      'sudden-release',
      { gasLitre: 130, roomVolumeCubicMetre: 3 },
      'carbonDioxidePpm',
    );
    const kept = Math.exp(-130 / 3000);
    near(ppm, 1e6 * (1 - kept) + 430 * kept, 1e-6);
    expect(ppm).toBeGreaterThan(40_000);
  });
});

describe('sulphur dioxide', () => {
  check('molecular-sulphur-dioxide', 'the trade table and OIV table I, every cell', async () => {
    await everyRow(publishedRows('molecular'), 12, async (row) => {
      const molecular = await figure(
        'molecular-sulphur-dioxide',
        { freeMilligramPerLitre: 100, pH: row('pH') },
        'molecularMilligramPerLitre',
      );
      near(molecular / 100, row('fraction_molecular_pKa1.81'), 6e-6);
    });
    const cells = publishedRows('thermodynamic').flatMap((row) =>
      [20, 25, 30, 35, 40].map((celsius) => ({ row, celsius })),
    );
    await everyRow(cells, 20, async ({ row, celsius }) => {
      const greatest = await figure(
        'molecular-sulphur-dioxide',
        {
          freeMilligramPerLitre: 1,
          pH: 3.4,
          alcoholByVolumePercent: row('alcohol_pct_vol'),
          temperatureCelsius: celsius,
        },
        'greatestMilligramPerLitre',
      );
      near(3.4 - Math.log10(1 / greatest - 1), row(`${celsius}C`), 1e-9);
    });
  });

  check(
    'free-sulphur-dioxide',
    'the trade table for 0.5 and 0.8 mg/L, to its rounding',
    async () => {
      await everyRow(publishedRows('molecular'), 12, async (row) => {
        for (const wanted of [0.5, 0.8]) {
          const free = await figure(
            'free-sulphur-dioxide',
            { molecularMilligramPerLitre: wanted, pH: row('pH') },
            'freeMilligramPerLitre',
          );
          near(free, row(`free_mg_L_for_${wanted}`), 0.0501);
        }
      });
    },
  );
});

// NIST Special Publication 811 (2008), appendix B; a volume of gas by Span and Wagner (1996).
describe('units', () => {
  const known = [
    ['temperature', 68, '°F', '°C', 20],
    ['pressure', 1, 'bar', 'psi', 14.503773773],
    ['volume', 1, 'US bbl', 'L', 117.347765304],
    ['mass', 1, 'lb', 'g', 453.59237],
    ['carbonation', 2.5, 'volumes', 'g/L', 4.942025],
    ['gas-flow', 3600, 'L/h', 'm3/s', 0.001],
    ['concentration', 1, 'kg/hL', 'g/L', 10],
    ['density', 1.0464, 'g/mL', 'kg/m3', 1046.4],
  ] as const;
  for (const [quantity, value, from, to, expected] of known) {
    check(`convert-${quantity}`, `${value} ${from} is ${expected} ${to}`, async () => {
      const { results } = await calculate(`convert-${quantity}`, { value, from });
      const values = results.values as readonly { readonly unit: string; readonly value: number }[];
      share(values.find(({ unit }) => unit === to)?.value ?? Number.NaN, expected, 1e-8);
      expect(values.find(({ unit }) => unit === from)?.value).toBeCloseTo(value, 9);
    });
  }
});

test('every calculation that the server lists is checked above, and there are 33', async () => {
  const listed = await (await askCalculations()).json<{
    calculations: readonly { readonly name: string }[];
  }>();
  const names = listed.calculations.map(({ name }) => name);
  expect(names).toHaveLength(33);
  expect(names.toSorted()).toEqual([...checked].toSorted());
  expect(names).toEqual(calculations.map(({ name }) => name));
});
