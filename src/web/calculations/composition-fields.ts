/** What a component of a blend holds, as a row of a form; what nobody measured stays null. */

import { fail, type Result } from '../../result.ts';
import type { Composition } from '../../science/blend.ts';
import type { ScienceFault } from '../../science/fault.ts';
import { byVolume, gramPerLitre, gravityUnit, volumes } from './drink-fields.ts';
import { given, type InputOf, ifKnown, named } from './field.ts';
import type { Places } from './located.ts';

export const componentName = named({ label: 'Name', example: 'Elderberry wine' });

export const compositionFields = {
  alcoholByVolumePercent: given({ label: 'Alcohol', ...byVolume, example: 18 }),
  extractGramPerLitre: given({
    label: 'Real extract',
    ...gramPerLitre,
    hint: 'For a drink that fermented, the calculation of alcohol tells it.',
    example: 110,
  }),
  fermentableGramPerLitre: ifKnown({
    label: 'Of that, fermentable',
    ...gramPerLitre,
    example: 85,
    seldom: true,
  }),
  titratableAcidGramPerLitre: ifKnown({
    label: 'Titratable acid',
    ...gramPerLitre,
    hint: 'As tartaric acid.',
    example: 6.5,
    seldom: true,
  }),
  pH: ifKnown({ label: 'pH', unit: '', example: 3.5, seldom: true }),
  freeSulphurDioxideMilligramPerLitre: ifKnown({
    label: 'Free sulphur dioxide',
    unit: 'mg/L',
    example: 30,
    seldom: true,
  }),
  carbonDioxideGramPerLitre: ifKnown({
    label: 'Carbonation',
    ...volumes,
    example: 0.1,
    seldom: true,
  }),
  gravity: ifKnown({
    label: 'Gravity',
    ...gravityUnit,
    hint: 'Measured, free of gas; without it the density is worked out.',
    example: null,
    seldom: true,
  }),
} as const;

export const compositionOf = (row: InputOf<typeof compositionFields>): Composition => ({
  alcoholByVolumePercent: row.alcoholByVolumePercent,
  extractGramPerLitre: row.extractGramPerLitre,
  fermentableGramPerLitre: row.fermentableGramPerLitre,
  titratableAcidGramPerLitre: row.titratableAcidGramPerLitre,
  pH: row.pH,
  freeSulphurDioxideMilligramPerLitre: row.freeSulphurDioxideMilligramPerLitre,
  carbonDioxideGramPerLitre: row.carbonDioxideGramPerLitre,
  gravity: row.gravity,
});

/** Two of one name could not be told apart, in a fault or on a drawing sheet. */
export const faultInNames = (
  list: string,
  names: readonly string[],
): Result<never, ScienceFault> | null => {
  const at = names.findIndex((name, index) => names.indexOf(name) < index);
  return at < 0
    ? null
    : fail({
        kind: 'no-solution',
        field: `${list}.${at}.name`,
        reason: 'another bears the same name; give each its own',
      });
};

/** A formula names a component's field "NAME: field"; the body has it at its place in the list. */
export const placesOfRows = (
  list: string,
  names: readonly string[],
  fault: ScienceFault,
  others: Places = {},
  /** Where a component's own field bears another name in the body. */
  renamed: Readonly<Record<string, string>> = {},
): Places => {
  for (const [index, name] of names.entries()) {
    const own = fault.field.startsWith(`${name}: `) ? fault.field.slice(name.length + 2) : '';
    // A name may itself hold a colon: only what leaves a bare field is the component's own.
    if (own === '' || own.includes(': ')) continue;
    return { ...others, [fault.field]: `${list}.${index}.${renamed[own] ?? own}` };
  }
  return others;
};

/** Three drinks of the invented Skerrow Yard. */
const yardDrinks = [
  {
    name: 'Wheat beer',
    alcoholByVolumePercent: 4.8,
    extractGramPerLitre: 42,
    fermentableGramPerLitre: 3,
    titratableAcidGramPerLitre: 2,
    pH: 4.2,
    freeSulphurDioxideMilligramPerLitre: 0,
    carbonDioxideGramPerLitre: 4.151301,
  },
  {
    name: 'Elderberry wine',
    alcoholByVolumePercent: 18,
    extractGramPerLitre: 110,
    fermentableGramPerLitre: 85,
    titratableAcidGramPerLitre: 6.5,
    pH: 3.5,
    freeSulphurDioxideMilligramPerLitre: 30,
    carbonDioxideGramPerLitre: 0.1186086,
  },
  {
    name: 'Rooibos infusion',
    alcoholByVolumePercent: 0,
    extractGramPerLitre: 4,
    fermentableGramPerLitre: 0.5,
    titratableAcidGramPerLitre: 0.3,
    pH: 5.2,
    freeSulphurDioxideMilligramPerLitre: 0,
    carbonDioxideGramPerLitre: 0,
  },
] as const;

export const [wheatBeer, elderberryWine, rooibosInfusion] = yardDrinks;
