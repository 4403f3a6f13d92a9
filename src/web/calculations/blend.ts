/** A blend of components, and the verdict on it in the keg that it goes into. */
import { fail, ok, type Result } from '../../result.ts';
import { type Amount, type Blend, blend, type Component } from '../../science/blend.ts';
import type { ScienceFault } from '../../science/fault.ts';
import { refermentationCaution } from '../../science/refermentation-words.ts';
import { blendFigures, figuresOf } from './blend-figures.ts';
import { calculation } from './calculation.ts';
import {
  componentName,
  compositionFields,
  compositionOf,
  elderberryWine,
  faultInNames,
  placesOfRows,
  rooibosInfusion,
  wheatBeer,
} from './composition-fields.ts';
import { ambientField, bar, celsius, litre } from './drink-fields.ts';
import { type InputOf, ifKnown, preset, rows } from './field.ts';
import {
  type KegVerdict,
  kegVerdict,
  noVerdict,
  remediesFigure,
  verdictFigures,
  yeastField,
} from './keg-verdict.ts';
import { located } from './located.ts';

const { verdict, ...pressures } = verdictFigures;
const kegPart = 'The keg it goes into, if any';

const componentRows = rows({
  label: 'Components',
  each: 'Component',
  hint: 'Each by volume or by mass. Leave a row blank if there is none.',
  least: 1,
  most: 12,
  offered: 4,
  fields: {
    name: componentName,
    litre: ifKnown({ label: 'Volume', ...litre, example: 12 }),
    ...compositionFields,
    kilogram: ifKnown({
      label: 'Mass in place of volume',
      unit: 'kg',
      measure: 'mass',
      example: null,
      seldom: true,
    }),
    atCelsius: preset(20, { label: 'Temperature when measured', ...celsius, seldom: true }),
  },
  example: [
    { ...wheatBeer, litre: 29 },
    { ...elderberryWine, litre: 12 },
    { ...rooibosInfusion, litre: 6 },
  ],
});

const kegFields = {
  vesselVolumeLitre: ifKnown({ label: 'Whole volume', ...litre, part: kegPart, example: 50 }),
  headspaceLitre: ifKnown({
    label: 'Headspace',
    ...litre,
    part: kegPart,
    hint: '1 to 90 % of the keg.',
    example: 3,
  }),
  ratedGaugePressurePascal: ifKnown({
    label: 'Rated gauge pressure',
    ...bar,
    part: kegPart,
    hint: 'Read it from the nameplate, never from memory.',
    example: 300_000,
  }),
  filledAtCelsius: ifKnown({ label: 'Filling temperature', ...celsius, part: kegPart, example: 4 }),
  warmestCelsius: ifKnown({
    label: 'Warmest temperature',
    ...celsius,
    part: kegPart,
    hint: 'That it may see.',
    example: 25,
  }),
  yeast: { ...yeastField, part: kegPart },
  ambientPressurePascal: { ...ambientField, part: kegPart },
} as const;

type ComponentRow = InputOf<(typeof componentRows)['fields']>;

const amountOf = (row: ComponentRow, at: string): Result<Amount, ScienceFault> => {
  const { litre: volume, kilogram } = row;
  if (volume !== null && kilogram !== null) {
    return fail({
      kind: 'no-solution',
      field: `${at}.kilogram`,
      reason: 'a volume is given too; give only one of them',
    });
  }
  if (volume !== null) return ok({ kind: 'volume', litre: volume, atCelsius: row.atCelsius });
  return kilogram === null
    ? fail({
        kind: 'no-solution',
        field: `${at}.litre`,
        reason: 'it is missing; give a volume, or a mass in its place',
      })
    : ok({ kind: 'mass', kilogram });
};

/** The verdict where a keg is described, or the sentence that says what is lacking for one. */
const verdictIn = (
  made: Blend,
  keg: InputOf<typeof kegFields>,
): Result<KegVerdict & { readonly unjudged: string | null }, ScienceFault> => {
  const { vesselVolumeLitre, headspaceLitre, filledAtCelsius, warmestCelsius } = keg;
  if (vesselVolumeLitre === null) {
    return ok({
      ...noVerdict,
      unjudged: 'No keg was described, so nothing is judged about refermentation.',
    });
  }
  for (const [field, value] of Object.entries({
    headspaceLitre,
    filledAtCelsius,
    warmestCelsius,
  })) {
    if (value === null) {
      return fail({
        kind: 'no-solution',
        field,
        reason: 'it is missing; a keg is judged by it, so give it or leave the keg out',
      });
    }
  }
  const { fermentableGramPerLitre: fermentable, carbonDioxideGramPerLitre: gas } = made;
  const missing = [
    ...(fermentable.kind === 'unknown'
      ? [`the fermentable extract of ${fermentable.missing.join(', ')}`]
      : []),
    ...(gas.kind === 'unknown' ? [`the carbonation of ${gas.missing.join(', ')}`] : []),
  ];
  if (fermentable.kind === 'unknown' || gas.kind === 'unknown') {
    return ok({
      ...noVerdict,
      unjudged: `Nothing can be judged about refermentation without ${missing.join(' and ')}: measure it.`,
    });
  }
  const judged = kegVerdict({
    vessel: {
      drink: made.drink,
      vesselVolumeLitre,
      headspaceLitre: headspaceLitre ?? 0,
      filledAtCelsius: filledAtCelsius ?? 0,
      ambientPressurePascal: keg.ambientPressurePascal,
    },
    ratedGaugePressurePascal: keg.ratedGaugePressurePascal,
    carbonDioxideGramPerLitre: gas.value,
    // All of the extract may be fermentable, and then rounding must not make it more than all.
    fermentableGramPerLitre: Math.min(fermentable.value, made.drink.extractGramPerLitre),
    warmestCelsius: warmestCelsius ?? 0,
    yeast: keg.yeast,
  });
  return judged.ok ? ok({ ...judged.value, unjudged: null }) : judged;
};

export const blendOfComponents = calculation({
  name: 'blend',
  title: 'Blend',
  purpose: 'What a blend of up to a dozen components holds, and whether it could burst its keg.',
  caution: refermentationCaution,
  inputs: { components: componentRows, ...kegFields },
  answers: {
    verdict,
    unjudged: { kind: 'sentence', label: 'Verdict', sources: verdict.sources },
    ...blendFigures,
    ...pressures,
    remedies: remediesFigure,
  },
  work: (input) => {
    const names = input.components.map(({ name }) => name);
    const alike = faultInNames('components', names);
    if (alike !== null) return alike;
    const components: Component[] = [];
    for (const [index, row] of input.components.entries()) {
      const amount = amountOf(row, `components.${index}`);
      if (!amount.ok) return amount;
      components.push({ ...compositionOf(row), name: row.name, amount: amount.value });
    }
    const made = blend(components);
    if (!made.ok) {
      return located(made, placesOfRows('components', names, made.fault));
    }
    const judged = located(verdictIn(made.value, input), {
      carbonDioxideGram: 'components',
      carbonDioxideGramPerLitre: 'components',
      fermentableGramPerLitre: 'components',
      alcoholByVolumePercent: 'components',
      extractGramPerLitre: 'components',
      temperatureCelsius: 'warmestCelsius',
    });
    return judged.ok ? ok({ ...figuresOf(made.value), ...judged.value }) : judged;
  },
});
