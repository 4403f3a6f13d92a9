/**
 * The limits of each stage as one table: the default, where the drink or the vessel's band changes it, the bounds
 * within which a batch may set its own, and who says so. Null means that the limit is not watched.
 * Longer than 250 lines, since a reader wants all limits side by side. Pure data: no I/O, no clock.
 *
 * "Chosen by us" and "common practice" have no published source. Where a person can be hurt a batch may make a
 * limit stricter and never laxer, and cannot switch it off: the bound on that side is the published value.
 * Gyleward advises; local codes, the nameplate, a certified gas monitor and licensed practice decide.
 */
import type { Drink, Stage } from '../batch.ts';

export type LimitTemplate = {
  readonly value: number | null;
  /** Where the drink matters. */
  readonly byDrink?: Readonly<Partial<Record<Drink, number | null>>>;
  /** An end of the band that the batch or else its vessel names, which stands before the default. */
  readonly follows?: 'band-low' | 'band-high';
  readonly unit: '°C' | 's' | 'Pa' | 'm' | 'SG' | 'pH' | 'ppm' | 'fraction' | 'volumes';
  /** Bounds of what a batch may set. */
  readonly lowest: number;
  readonly highest: number;
  /** Whether a batch may set null, so that the limit is not watched. */
  readonly canBeOff: boolean;
  readonly source: string;
};

const minute = 60;
const hour = 3600;
const day = 86_400;

const celsius = { unit: '°C', lowest: -5, highest: 110, canBeOff: true } as const;
const seconds = { unit: 's', lowest: minute, highest: 20 * 366 * day, canBeOff: true } as const;
const pascal = { unit: 'Pa', lowest: 0, highest: 2_000_000, canBeOff: true } as const;

const mcGee = 'H. McGee, On Food and Cooking';
const niosh = 'NIOSH, Documentation for Immediately Dangerous Concentrations, carbon dioxide, 1994';
const rittenauer = 'Rittenauer et al., Foods 10 (2021) 1733';

/** Neither stage nor drink brings a band: it is watched where the batch or its vessel names one. */
const namedBand = {
  lowCelsius: {
    ...celsius,
    value: null,
    follows: 'band-low',
    source: 'no default: named by the batch or its vessel',
  },
  highCelsius: {
    ...celsius,
    value: null,
    follows: 'band-high',
    source: 'no default: named by the batch or its vessel',
  },
} as const satisfies Record<string, LimitTemplate>;

const namedPressure = {
  lowGaugePressurePascal: {
    ...pascal,
    value: null,
    source: 'no default: the brewer names the band that carbonation is to keep',
  },
  highGaugePressurePascal: {
    ...pascal,
    value: null,
    source: 'no default: the brewer names the band that carbonation is to keep',
  },
} as const satisfies Record<string, LimitTemplate>;

/** A drink that holds fermentable extract is judged at the warmest place that its vessel may come to. */
const warmest = {
  warmestCelsius: {
    ...celsius,
    value: 25,
    lowest: 0,
    highest: 45,
    canBeOff: false,
    source: 'assumption: a warm room; a keg in the sun grows warmer',
  },
} as const satisfies Record<string, LimitTemplate>;

const pitching = {
  pitchCelsius: {
    ...celsius,
    value: 25,
    byDrink: { lager: 15, wine: 30, infusion: null, blend: null },
    follows: 'band-high',
    source: `top fermentation up to 25 °C: ${mcGee}; 15 °C for a lager and 30 °C for a wine: common practice`,
  },
} as const satisfies Record<string, LimitTemplate>;

export const stageTemplates = {
  'mash-rest': {
    lowCelsius: {
      ...celsius,
      value: 62,
      follows: 'band-low',
      source: `barley starch converts from 61.4 °C: ${rittenauer}; rounded up`,
    },
    highCelsius: {
      ...celsius,
      value: 68,
      follows: 'band-high',
      source:
        'common practice: a single rest. Beta-amylase is most active at 63 °C of 63, 68, 73 and 78 °C: J. Am. Soc. Brew. Chem. 2016',
    },
    overshootCelsius: {
      ...celsius,
      value: 73,
      source:
        'chosen by us: the step above 68 °C at which beta-amylase was found weaker, J. Am. Soc. Brew. Chem. 2016',
    },
    restSeconds: {
      ...seconds,
      value: hour,
      source: `60 min at 65 °C is the reference mash of ${rittenauer}`,
    },
  },
  boil: {
    belowBoilingCelsius: {
      unit: '°C',
      value: 2,
      lowest: 0.5,
      highest: 10,
      canBeOff: false,
      source: 'chosen by us: the error of an ordinary probe, and the wall it sits at',
    },
    heightMetre: {
      unit: 'm',
      value: 0,
      lowest: -400,
      highest: 4000,
      canBeOff: false,
      source: 'assumption: sea level; 300 m lower the boiling point by 1 °C',
    },
    heatUpSeconds: { ...seconds, value: hour, source: 'common practice' },
    boilSeconds: { ...seconds, value: hour, source: 'common practice: 60 to 90 min' },
  },
  cooling: {
    ...pitching,
    withinSeconds: {
      ...seconds,
      value: 2 * hour,
      source: 'common practice: warm unpitched wort is food for bacteria',
    },
  },
  fermentation: {
    ...namedBand,
    ...pitching,
    ventedGaugePressurePascal: {
      ...pascal,
      value: 20_000,
      lowest: 1000,
      highest: 50_000,
      source: 'chosen by us: two metres of water, more than a hose or an airlock holds',
    },
    ventRisePascal: {
      ...pascal,
      value: 8000,
      lowest: 2000,
      highest: 50_000,
      source: 'chosen by us: more than weather, foam and the gauge swing',
    },
  },
  conditioning: {
    ...namedBand,
    ...namedPressure,
    ...warmest,
    gravityFall: {
      unit: 'SG',
      value: 0.0015,
      lowest: 0.0005,
      highest: 0.01,
      canBeOff: true,
      source:
        'common practice: stable means at most 0.1 °P in 48 to 72 h; 0.4 °P stays clear of noise',
    },
  },
  'cold-steep': {
    lowCelsius: {
      ...celsius,
      value: 0,
      follows: 'band-low',
      source: 'an infusion freezes just below 0 °C',
    },
    highCelsius: {
      ...celsius,
      value: 5,
      follows: 'band-high',
      source: 'cold holding at 5 °C or less: FDA Food Code 2009, 3-501.16',
    },
    steepSeconds: { ...seconds, value: day, source: 'common practice: 12 to 24 h' },
    coldSeconds: {
      ...seconds,
      value: 6 * day,
      highest: 6 * day,
      canBeOff: false,
      source:
        'seven days at 5 °C or less, the day of making being the first: FDA Food Code 2009, 3-501.17',
    },
    warmSeconds: {
      ...seconds,
      value: 4 * hour,
      highest: 4 * hour,
      canBeOff: false,
      source: '4 h without temperature control: FDA Food Code 2009, 3-501.19',
    },
    coolStartSeconds: {
      ...seconds,
      value: 6 * hour,
      highest: 6 * hour,
      canBeOff: false,
      source:
        '6 h if it began at 5 °C or less and never passed 21 °C: FDA Food Code 2009, 3-501.19',
    },
    acidPH: {
      unit: 'pH',
      value: 4.6,
      lowest: 3,
      highest: 4.6,
      canBeOff: false,
      source: 'acid food: 21 CFR 114.3',
    },
  },
  ageing: {
    lowCelsius: {
      ...celsius,
      value: 10,
      follows: 'band-low',
      source: 'storage at 10 to 16 °C: general cellar guides (tertiary)',
    },
    highCelsius: {
      ...celsius,
      value: 16,
      follows: 'band-high',
      source: 'storage at 10 to 16 °C: general cellar guides (tertiary)',
    },
    toppingSeconds: {
      ...seconds,
      value: 30 * day,
      byDrink: { infusion: null },
      source:
        'common practice: monthly. A barrel loses 2 to 7 % a year: general cellar guides (tertiary)',
    },
    testingSeconds: {
      ...seconds,
      value: null,
      byDrink: { wine: 60 * day, mead: 60 * day, cider: 60 * day },
      source: 'common practice: free sulphur dioxide every other month',
    },
    leastAgeSeconds: {
      ...seconds,
      value: null,
      source: 'no default: the maker names the least age',
    },
  },
  blending: { ...namedBand, ...warmest },
  keg: {
    ...namedBand,
    ...namedPressure,
    ...warmest,
    targetVolumes: {
      unit: 'volumes',
      value: null,
      lowest: 0.5,
      highest: 8,
      canBeOff: true,
      source: 'no default: the maker names the carbonation to reach',
    },
  },
  workroom: {
    ...namedBand,
    workingDayPpm: {
      unit: 'ppm',
      value: 5000,
      lowest: 1000,
      highest: 5000,
      canBeOff: false,
      source: `mean over 8 h: OSHA PEL, 29 CFR 1910.1000; also NIOSH REL. ${niosh}`,
    },
    shortTermPpm: {
      unit: 'ppm',
      value: 30_000,
      lowest: 5000,
      highest: 30_000,
      canBeOff: false,
      source: `mean over 15 min: NIOSH and ACGIH short-term limit. ${niosh}`,
    },
    dangerousPpm: {
      unit: 'ppm',
      value: 40_000,
      lowest: 10_000,
      highest: 40_000,
      canBeOff: false,
      source: `immediately dangerous to life or health: ${niosh}`,
    },
    oxygenFraction: {
      unit: 'fraction',
      value: 0.195,
      lowest: 0.195,
      highest: 0.205,
      canBeOff: false,
      source: '19.5 %: 30 CFR 75.321; OSHA calls less oxygen-deficient, 29 CFR 1910.134',
    },
  },
} as const satisfies Record<Stage, Readonly<Record<string, LimitTemplate>>>;

/** The limits that a stage has, by name. */
export type LimitName<S extends Stage> = keyof (typeof stageTemplates)[S] & string;

export type AnyLimitName = { [S in Stage]: LimitName<S> }[Stage];
