/**
 * What Gyleward claims of its numbers: each quantity against a published source, with the bounds that
 * accuracy.test.ts enforces. README quotes this table and no other figure.
 *
 * `mean` and `max` bound the absolute error in `unit`; both are set a little above what is achieved, and
 * the test fails a bound that is more than twice as wide as it need be. `rows` is how many values are
 * compared; fewer fail. `truth` says how the values came here: seen in the source (or a public copy of
 * it), or computed from a seen formula by other code than ours.
 */
export type AccuracyRow = {
  readonly quantity: string;
  readonly source: string;
  readonly truth: 'seen' | 'computed';
  readonly rows: number;
  readonly unit: string;
  readonly mean: number;
  readonly max: number;
  readonly residual: string;
};

export const accuracyTable = {
  'sucrose density, 20 °C': {
    quantity: 'Density of sucrose solutions at 20 °C, 0.5 to 60 mass %',
    source: 'CRC Handbook, 102nd ed. (after Wolf 1966)',
    truth: 'seen',
    rows: 37,
    unit: 'kg/m3',
    mean: 0.05,
    max: 0.22,
    residual:
      'the handbook is rounded to 0.1 kg/m3 and older than the ICUMSA polynomial; largest at 60 %',
  },
  'sucrose density, 0 to 40 °C': {
    quantity: 'Density of sucrose solutions, 0 to 30 °P, 0 to 40 °C',
    source: 'ICUMSA SPS-4 polynomial, evaluated apart',
    truth: 'computed',
    rows: 108,
    unit: 'kg/m3',
    mean: 0.0004,
    max: 0.0006,
    residual: 'the table is rounded to 0.001 kg/m3',
  },
  'extract from gravity': {
    quantity: 'Extract from apparent gravity, 0 to 30 °P',
    source: 'Plato table: ICUMSA density weighed in air',
    truth: 'computed',
    rows: 34,
    unit: '°P',
    mean: 0.006,
    max: 0.012,
    residual: 'the ASBC cubic against the table it was fitted to',
  },
  'extract from handbook density': {
    quantity: 'Extract of sucrose solutions from their density weighed in air, 0.5 to 30 mass %',
    source: 'CRC Handbook, 102nd ed. (after Wolf 1966)',
    truth: 'seen',
    rows: 26,
    unit: '°P',
    mean: 0.0105,
    max: 0.023,
    residual: 'the handbook is rounded to 0.1 kg/m3, which alone is up to 0.0125 °P',
  },
  'gravity from extract': {
    quantity: 'Apparent gravity from extract, 0 to 30 °P',
    source: 'Plato table: ICUMSA density weighed in air',
    truth: 'computed',
    rows: 34,
    unit: 'SG',
    mean: 2.6e-5,
    max: 5.4e-5,
    residual: 'the same cubic, inverted exactly',
  },
  'sugar from weight per gallon': {
    quantity: 'Brix from the weight of a gallon in air, 0.5 to 5 °Bx',
    source: 'NBS Circular C440 (1942), table of pounds per US gallon',
    truth: 'seen',
    rows: 10,
    unit: '°Bx',
    mean: 0.011,
    max: 0.022,
    residual: 'pounds are rounded to 0.001, which is 0.03 °Bx',
  },
  'hydrometer correction': {
    quantity: 'Correction of a hydrometer off 20 °C, 0 to 25 °P, 5 to 30 °C',
    source: 'density balance with glass of 25e-6 per kelvin, evaluated apart',
    truth: 'computed',
    rows: 78,
    unit: '°P',
    mean: 0.0006,
    max: 0.0062,
    residual: 'largest at 0 °P and 5 °C, where the other code had no extract below zero',
  },
  'refractive index, sucrose': {
    quantity: 'Refractive index of sucrose solutions, 0.5 to 40 mass %',
    source: 'CRC Handbook, 102nd ed.; OIV Oeno 21/2004 table II',
    truth: 'seen',
    rows: 42,
    unit: 'nD',
    mean: 1.8e-5,
    max: 6.2e-5,
    residual: 'the handbook is rounded to 1e-4 (0.07 mass %), the OIV to 1e-5',
  },
  'refractive index, ethanol': {
    quantity: 'Refractive index of ethanol solutions, 0.5 to 24 mass %',
    source: 'CRC Handbook, 102nd ed.',
    truth: 'seen',
    rows: 23,
    unit: 'nD',
    mean: 2.6e-5,
    max: 5.5e-5,
    residual: 'the handbook is rounded to 1e-4',
  },
  'ethanol density, checksums': {
    quantity: 'OIML R 22 formula, all 54 coefficients',
    source: 'validation table published with the coefficients (DOI 10.5281/zenodo.19426888)',
    truth: 'seen',
    rows: 5,
    unit: 'kg/m3',
    mean: 3e-8,
    max: 6e-8,
    residual: 'the values are printed to seven digits after the point',
  },
  'ethanol density, handbook': {
    quantity: 'Density of ethanol solutions at 20 °C, 0.5 to 100 mass %',
    source: 'CRC Handbook, 102nd ed.',
    truth: 'seen',
    rows: 41,
    unit: 'kg/m3',
    mean: 0.07,
    max: 0.22,
    residual: 'the handbook is rounded to 0.1 kg/m3 and departs from R 22 by 0.2 at 80 %',
  },
  'mass % from % vol': {
    quantity: 'Mass % of alcohol from % vol, 0 to 100 % vol',
    source: 'OIML R 22, evaluated apart',
    truth: 'computed',
    rows: 35,
    unit: 'mass %',
    mean: 2.4e-5,
    max: 5e-5,
    residual: 'the table is rounded to 0.0001 %',
  },
  'alcohol by Balling': {
    quantity: 'Alcohol, real extract and degrees of fermentation',
    source: 'Balling (Nielsen et al.) and ASBC Beer-6, worked apart',
    truth: 'computed',
    rows: 25,
    unit: 'mass %, °P, %',
    mean: 1e-14,
    max: 1e-13,
    residual: 'floating point',
  },
  'carbon dioxide gas density': {
    quantity: 'Density of carbon dioxide gas, 0 to 40 °C, 1 to 6 bar',
    source: 'Span and Wagner 1996 (CoolProp 8.0.0)',
    truth: 'computed',
    rows: 45,
    unit: '%',
    mean: 0.036,
    max: 0.16,
    residual: 'the third virial coefficient is dropped; largest at 0 °C and 6 bar',
  },
  'second virial coefficient': {
    quantity: 'Second virial coefficient of carbon dioxide, 0 to 40 °C',
    source: 'Span and Wagner 1996 (CoolProp 8.0.0)',
    truth: 'computed',
    rows: 6,
    unit: 'cm3/mol',
    mean: 0.33,
    max: 0.7,
    residual: 'the cubic of Weiss 1974 is older than the equation of state',
  },
  'water vapour pressure': {
    quantity: 'Vapour pressure of water, 0 to 40 °C',
    source: 'IAPWS (CoolProp 8.0.0)',
    truth: 'computed',
    rows: 8,
    unit: '%',
    mean: 0.014,
    max: 0.085,
    residual:
      'the table gives the triple point for 0 °C, a hundredth of a kelvin above it; the rest within 0.006',
  },
  'carbon dioxide in water, handbook': {
    quantity: 'Solubility of carbon dioxide in water at 100 kPa, 0 to 40 °C',
    source: 'CRC Handbook, p. 8-90',
    truth: 'seen',
    rows: 9,
    unit: '%',
    mean: 0.05,
    max: 0.15,
    residual: 'the handbook is rounded to 0.001, which is 0.1 %; both follow Carroll et al. 1991',
  },
  'carbon dioxide in water, low pressure': {
    quantity:
      'Solubility of carbon dioxide in water, 5 to 50 kPa, 0 to 40 °C, 1000 x mole fraction',
    source: 'CRC Handbook, p. 8-90',
    truth: 'seen',
    rows: 54,
    unit: '1000 x',
    mean: 0.0004,
    max: 0.0017,
    residual:
      'the handbook is rounded to 0.001; its cell for 5 °C and 50 kPa stands out of line with its row',
  },
  'carbon dioxide in beer': {
    quantity: 'Carbon dioxide in beer, -1 to 25 °C, 0 to 1 bar gauge',
    source: 'table for brewers, origin not stated',
    truth: 'seen',
    rows: 297,
    unit: 'g/L',
    mean: 0.025,
    max: 0.06,
    residual: 'the table is rounded to 0.1 g/L, whose mean error alone is 0.025',
  },
  'carbon dioxide in wine': {
    quantity: 'Carbon dioxide in wine at 20 °C, 10 to 15 % vol, 0 to 50 g/L sugar, 1 to 7 bar',
    source: 'Regulation (EEC) 2676/90, chapter 37',
    truth: 'computed',
    rows: 27,
    unit: '%',
    mean: 0.4,
    max: 0.8,
    residual: 'the regulation takes an ideal gas and no water vapour; they pull opposite ways',
  },
  'molecular sulphur dioxide': {
    quantity: 'Free sulphur dioxide for 0.5 and 0.8 mg/L molecular, pH 2.9 to 4.0',
    source: 'trade tables by pK 1.81',
    truth: 'computed',
    rows: 24,
    unit: 'mg/L',
    mean: 0.028,
    max: 0.05,
    residual: 'the tables are rounded to 0.1 mg/L',
  },
} as const satisfies Readonly<Record<string, AccuracyRow>>;

export type AccuracyKey = keyof typeof accuracyTable;
