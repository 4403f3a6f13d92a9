/** Alcohol and extract where sugar, water, wort or spirit went in on the way. */
import { fail, ok, type Result } from '../../result.ts';
import { type Addition, alcoholAfterAdditions } from '../../science/alcohol-after-additions.ts';
import type { ScienceFault } from '../../science/fault.ts';
import { calculation } from './calculation.ts';
import { byVolume, gramPerLitre, litre, percent, platoUnit } from './drink-fields.ts';
import { choice, given, type InputOf, ifKnown, rows } from './field.ts';
import { originalGravity, presentGravity } from './gravity-fields.ts';
import { located, type Places } from './located.ts';
import { balling, massBalance, oimlR22, tabarie } from './source.ts';

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
