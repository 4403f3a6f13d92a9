/** Alcohol: from two gravities, by volume and by mass, and after additions on the way. */
import { fail, ok, type Result } from '../../result.ts';
import { alcoholByVolumeFromMass, alcoholMassFromVolume } from '../../science/alcohol.ts';
import { type Addition, alcoholAfterAdditions } from '../../science/alcohol-after-additions.ts';
import { ethanolDensity } from '../../science/ethanol-density.ts';
import type { ScienceFault } from '../../science/fault.ts';
import { fermentationState } from '../../science/fermentation-state.ts';
import { gravityAt } from '../../science/gravity.ts';
import { calculation } from './calculation.ts';
import { byVolume, gramPerLitre, gravityUnit, litre, percent, platoUnit } from './drink-fields.ts';
import { choice, given, type InputOf, ifKnown, rows } from './field.ts';
import { located, type Place, type Places } from './located.ts';
import { asbcBeer6, asbcCubic, balling, massBalance, oimlR22, tabarie } from './source.ts';

const sg = (field: string): Place => ({ field, unit: 'SG 20/20', read: gravityAt });

/** Where the extracts of Balling's balance stand in a body that gives gravities. */
export const gravityPlaces: Places = {
  originalExtractPlato: sg('originalGravity'),
  apparentExtractPlato: sg('presentGravity'),
};

export const originalGravity = given({
  label: 'Original gravity',
  ...gravityUnit,
  hint: 'Before fermentation.',
  example: 1.048,
});

export const presentGravity = given({
  label: 'Present gravity',
  ...gravityUnit,
  hint: 'Of a sample free of gas.',
  example: 1.01,
});

/** Original extract below 1 °P is no wort, and a fault of either gravity names which. */
export const stateOf = (
  originalGravityGiven: number,
  presentGravityGiven: number,
): ReturnType<typeof fermentationState> => {
  const original = located(fermentationState(originalGravityGiven, originalGravityGiven), {
    ...gravityPlaces,
    apparentExtractPlato: sg('originalGravity'),
    gravity: 'originalGravity',
  });
  if (!original.ok) return original;
  return located(fermentationState(originalGravityGiven, presentGravityGiven), {
    ...gravityPlaces,
    gravity: 'presentGravity',
  });
};

export const alcohol = calculation({
  name: 'alcohol',
  title: 'Alcohol from two gravities',
  purpose: 'Alcohol, real extract and degrees of fermentation from original and present gravity.',
  inputs: { originalGravity, presentGravity },
  answers: {
    alcoholByVolumePercent: {
      kind: 'number',
      label: 'Alcohol',
      ...byVolume,
      decimals: 2,
      sources: [asbcCubic, balling, oimlR22],
    },
    alcoholMassPercent: {
      kind: 'number',
      label: 'Alcohol by mass',
      unit: 'mass %',
      decimals: 2,
      sources: [asbcCubic, balling],
    },
    originalExtractPlato: {
      kind: 'number',
      label: 'Original extract',
      unit: '°P',
      decimals: 2,
      sources: [asbcCubic],
    },
    apparentExtractPlato: {
      kind: 'number',
      label: 'Apparent extract',
      unit: '°P',
      decimals: 2,
      sources: [asbcCubic],
    },
    realExtractPlato: {
      kind: 'number',
      label: 'Real extract',
      unit: '°P',
      decimals: 2,
      sources: [asbcCubic, balling],
    },
    extractGramPerLitre: {
      kind: 'number',
      label: 'Real extract in a litre',
      ...gramPerLitre,
      decimals: 1,
      sources: [asbcCubic, balling],
    },
    apparentAttenuationShare: {
      kind: 'number',
      label: 'Apparent attenuation',
      ...percent,
      decimals: 1,
      sources: [asbcCubic],
    },
    realAttenuationShare: {
      kind: 'number',
      label: 'Real attenuation',
      ...percent,
      decimals: 1,
      sources: [asbcCubic, balling],
    },
    realDegreeOfFermentationShare: {
      kind: 'number',
      label: 'Real degree of fermentation',
      ...percent,
      decimals: 1,
      sources: [asbcCubic, balling, asbcBeer6],
    },
  },
  work: (input) => {
    const state = stateOf(input.originalGravity, input.presentGravity);
    if (!state.ok) return state;
    return ok({
      alcoholByVolumePercent: state.value.alcoholByVolumePercent,
      alcoholMassPercent: state.value.alcoholMassPercent,
      originalExtractPlato: state.value.originalExtractPlato,
      apparentExtractPlato: state.value.apparentExtractPlato,
      realExtractPlato: state.value.realExtractPlato,
      extractGramPerLitre: state.value.drink.extractGramPerLitre,
      apparentAttenuationShare: state.value.apparentAttenuation,
      realAttenuationShare: state.value.realAttenuation,
      realDegreeOfFermentationShare: state.value.realDegreeOfFermentation,
    });
  },
});

const spiritDensity = {
  kind: 'number',
  label: 'Density at 20 °C',
  unit: 'kg/m3',
  measure: 'density',
  decimals: 2,
  sources: [oimlR22],
} as const;

export const alcoholByMass = calculation({
  name: 'alcohol-by-mass',
  title: 'Alcohol by volume to by mass',
  purpose: 'Mass per cent and density of ethanol and water of a strength in % vol.',
  inputs: { alcoholByVolumePercent: given({ label: 'Alcohol', ...byVolume, example: 40 }) },
  answers: {
    alcoholMassPercent: {
      kind: 'number',
      label: 'Alcohol by mass',
      unit: 'mass %',
      decimals: 3,
      sources: [oimlR22],
    },
    densityKilogramPerCubicMetre: spiritDensity,
  },
  work: ({ alcoholByVolumePercent }) => {
    const mass = alcoholMassFromVolume(alcoholByVolumePercent);
    if (!mass.ok) return mass;
    const density = ethanolDensity(mass.value, 20);
    return density.ok
      ? ok({ alcoholMassPercent: mass.value, densityKilogramPerCubicMetre: density.value })
      : density;
  },
});

export const alcoholByVolume = calculation({
  name: 'alcohol-by-volume',
  title: 'Alcohol by mass to by volume',
  purpose: 'Strength in % vol and density of ethanol and water from mass per cent.',
  inputs: {
    alcoholMassPercent: given({ label: 'Alcohol', unit: 'mass %', example: 33.3 }),
  },
  answers: {
    alcoholByVolumePercent: {
      kind: 'number',
      label: 'Alcohol by volume',
      ...byVolume,
      decimals: 3,
      sources: [oimlR22],
    },
    densityKilogramPerCubicMetre: spiritDensity,
  },
  work: ({ alcoholMassPercent }) => {
    const strength = alcoholByVolumeFromMass(alcoholMassPercent);
    if (!strength.ok) return strength;
    const density = ethanolDensity(alcoholMassPercent, 20);
    return density.ok
      ? ok({ alcoholByVolumePercent: strength.value, densityKilogramPerCubicMetre: density.value })
      : density;
  },
});

const additionRows = rows({
  label: 'Additions',
  each: 'Addition',
  hint: 'Sugar by weight; water, wort and spirit by volume. Leave a row blank if there is none.',
  least: 0,
  most: 12,
  offered: 4,
  fields: {
    what: choice({
      label: 'What',
      options: {
        sugar: 'sugar',
        water: 'water',
        wort: 'wort, must, juice or syrup',
        spirit: 'spirit',
      },
    }),
    gram: ifKnown({ label: 'Sugar', unit: 'g', example: 500 }),
    litre: ifKnown({ label: 'Water, wort or spirit', ...litre, example: null }),
    extractPlato: ifKnown({ label: 'Extract of the wort', ...platoUnit, example: null }),
    alcoholByVolumePercent: ifKnown({
      label: 'Strength of the spirit',
      ...byVolume,
      example: null,
    }),
  },
  example: [
    { what: 'sugar', gram: 500 },
    { what: 'spirit', litre: 3, alcoholByVolumePercent: 60 },
  ],
});

type AdditionRow = InputOf<(typeof additionRows)['fields']>;

const demanded = (
  field: string,
  value: number | null,
  what: string,
): Result<number, ScienceFault> =>
  value === null
    ? fail({ kind: 'no-solution', field, reason: `it is missing; ${what} needs it` })
    : ok(value);

const additionOf = (row: AdditionRow, at: string): Result<Addition, ScienceFault> => {
  if (row.what === 'sugar') {
    const gram = demanded(`${at}.gram`, row.gram, 'sugar');
    return gram.ok ? ok({ kind: 'sugar', gram: gram.value }) : gram;
  }
  const amount = demanded(`${at}.litre`, row.litre, row.what);
  if (!amount.ok) return amount;
  if (row.what === 'water') return ok({ kind: 'water', litre: amount.value });
  if (row.what === 'wort') {
    const extract = demanded(`${at}.extractPlato`, row.extractPlato, 'wort');
    return extract.ok
      ? ok({ kind: 'wort', litre: amount.value, extractPlato: extract.value })
      : extract;
  }
  const strength = demanded(`${at}.alcoholByVolumePercent`, row.alcoholByVolumePercent, 'spirit');
  return strength.ok
    ? ok({ kind: 'spirit', litre: amount.value, alcoholByVolumePercent: strength.value })
    : strength;
};

/** Names of the formula's own, where they stand in the row that the fault came from. */
const placesIn = (additions: readonly AdditionRow[], fault: ScienceFault): Places => {
  const value = 'value' in fault ? fault.value : null;
  const at = additions.findIndex((row) => Object.values(row).includes(value ?? Number.NaN));
  const row = at < 0 ? 'additions' : `additions.${at}`;
  return {
    sugar: at < 0 ? row : `${row}.gram`,
    water: at < 0 ? row : `${row}.litre`,
    wort: at < 0 ? row : `${row}.litre`,
    spirit: at < 0 ? row : `${row}.litre`,
    extractPlato: at < 0 ? row : `${row}.extractPlato`,
    alcoholByVolumePercent: at < 0 ? row : `${row}.alcoholByVolumePercent`,
    gravity: 'originalGravity',
  };
};

export const alcoholWithAdditions = calculation({
  name: 'alcohol-after-additions',
  title: 'Alcohol after additions',
  purpose: 'Alcohol and extract where sugar, water, wort or spirit went in on the way.',
  inputs: {
    wortVolumeLitre: given({ label: 'Wort at the start', ...litre, example: 25 }),
    originalGravity,
    presentGravity,
    additions: additionRows,
  },
  answers: {
    alcoholByVolumePercent: {
      kind: 'number',
      label: 'Alcohol',
      ...byVolume,
      decimals: 2,
      sources: [massBalance, tabarie, balling],
    },
    alcoholMassPercent: {
      kind: 'number',
      label: 'Alcohol by mass',
      unit: 'mass %',
      decimals: 2,
      sources: [massBalance, tabarie, balling],
    },
    realExtractPlato: {
      kind: 'number',
      label: 'Real extract',
      unit: '°P',
      decimals: 2,
      sources: [massBalance, tabarie, balling],
    },
    extractGramPerLitre: {
      kind: 'number',
      label: 'Real extract in a litre',
      ...gramPerLitre,
      decimals: 1,
      sources: [massBalance, tabarie, balling],
    },
    equivalentOriginalExtractPlato: {
      kind: 'number',
      label: 'Original extract, had all been there at the start',
      unit: '°P',
      decimals: 2,
      sources: [massBalance],
    },
    addedAsSpiritShare: {
      kind: 'number',
      label: 'Of the alcohol, added as spirit',
      ...percent,
      decimals: 1,
      sources: [massBalance, oimlR22],
    },
    volumeLitre: {
      kind: 'number',
      label: 'Volume at 20 °C',
      ...litre,
      decimals: 2,
      sources: [massBalance, tabarie],
    },
  },
  work: (input) => {
    const additions: Addition[] = [];
    for (const [index, row] of input.additions.entries()) {
      const addition = additionOf(row, `additions.${index}`);
      if (!addition.ok) return addition;
      additions.push(addition.value);
    }
    const found = alcoholAfterAdditions({ ...input, additions });
    if (!found.ok) return located(found, placesIn(input.additions, found.fault));
    const { value } = found;
    return ok({
      alcoholByVolumePercent: value.alcoholByVolumePercent,
      alcoholMassPercent: value.alcoholMassPercent,
      realExtractPlato: value.realExtractPlato,
      extractGramPerLitre: value.extractGramPerLitre,
      equivalentOriginalExtractPlato: value.equivalentOriginalExtractPlato,
      addedAsSpiritShare: value.shareAddedAsSpirit,
      volumeLitre: value.volumeLitre,
    });
  },
});
