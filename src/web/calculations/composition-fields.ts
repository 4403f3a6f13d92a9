/** What a component of a blend holds, as a row of a form; what nobody measured stays null. */
import type { Composition } from '../../science/blend.ts';
import type { ScienceFault } from '../../science/fault.ts';
import { byVolume, gramPerLitre, gravityUnit, volumes } from './drink-fields.ts';
import { given, type InputOf, ifKnown, named } from './field.ts';
import type { Place, Places } from './located.ts';

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

/** A formula names a component's field "NAME: field"; the body has it at its place in the list. */
export const placesOfRows = (
  list: string,
  names: readonly string[],
  fault: ScienceFault,
  others: Readonly<Record<string, Place>> = {},
): Places => {
  const at = names.findIndex((name) => fault.field.startsWith(`${name}: `));
  if (at < 0) return others;
  const own = fault.field.slice(`${names[at] ?? ''}: `.length);
  return { ...others, [fault.field]: `${list}.${at}.${own}` };
};

/** Three drinks of the invented Skerrow Yard. */
export const yardDrinks = [
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
