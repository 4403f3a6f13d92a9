/** Carbon dioxide in a drink at rest: the content under a pressure, and the pressure that holds a content. */
import { ok } from '../../result.ts';
import {
  carbonationAtPressure,
  equilibriumGaugePressure,
  volumesFromGramPerLitre,
} from '../../science/carbonation.ts';
import { refermentationCaution } from '../../science/refermentation-words.ts';
import { calculation } from './calculation.ts';
import { ambientField, bar, celsius, drinkFields, gramPerLitre, volumes } from './drink-fields.ts';
import { given } from './field.ts';
import { carroll, drinkSolubility, vapour, volumeOfGas } from './source.ts';

const equilibrium = [carroll, drinkSolubility, vapour] as const;

export const carbonationUnderPressure = calculation({
  name: 'carbonation-at-pressure',
  title: 'Carbonation under a pressure',
  purpose: 'What a drink holds once it has come to rest under a head pressure.',
  inputs: {
    gaugePressurePascal: given({ label: 'Head pressure by the gauge', ...bar, example: 90_000 }),
    temperatureCelsius: given({ label: 'Temperature of the drink', ...celsius, example: 4 }),
    ...drinkFields,
    ambientPressurePascal: ambientField,
  },
  answers: {
    volumes: {
      kind: 'number',
      label: 'Carbonation',
      unit: 'volumes',
      decimals: 2,
      sources: [...equilibrium, volumeOfGas],
    },
    carbonDioxideGramPerLitre: {
      kind: 'number',
      label: 'Carbon dioxide',
      ...gramPerLitre,
      decimals: 2,
      sources: equilibrium,
    },
  },
  work: ({ alcoholByVolumePercent, extractGramPerLitre, ...rest }) => {
    const held = carbonationAtPressure({
      drink: { alcoholByVolumePercent, extractGramPerLitre },
      ...rest,
    });
    return held.ok
      ? ok({
          volumes: held.value.volumes,
          carbonDioxideGramPerLitre: held.value.carbonDioxideGramPerLitre,
        })
      : held;
  },
});

export const pressureForCarbonation = calculation({
  name: 'pressure-for-carbonation',
  title: 'Pressure for a carbonation',
  purpose: 'The head pressure at which a drink neither takes up nor gives off gas.',
  caution: refermentationCaution,
  inputs: {
    carbonDioxideGramPerLitre: given({
      label: 'Carbonation wanted',
      ...volumes,
      hint: '1 volume is 1.98 g/L.',
      example: 4.942025,
    }),
    temperatureCelsius: given({ label: 'Temperature of the drink', ...celsius, example: 4 }),
    ...drinkFields,
    ambientPressurePascal: ambientField,
  },
  answers: {
    gaugePressurePascal: {
      kind: 'number',
      label: 'Head pressure by the gauge',
      ...bar,
      decimals: 2,
      sources: equilibrium,
    },
    absolutePressurePascal: {
      kind: 'number',
      label: 'The same, absolute',
      ...bar,
      decimals: 2,
      sources: equilibrium,
    },
    volumes: {
      kind: 'number',
      label: 'Carbonation',
      unit: 'volumes',
      decimals: 2,
      sources: [volumeOfGas],
    },
  },
  work: ({ alcoholByVolumePercent, extractGramPerLitre, ...rest }) => {
    const gauge = equilibriumGaugePressure({
      drink: { alcoholByVolumePercent, extractGramPerLitre },
      ...rest,
    });
    return gauge.ok
      ? ok({
          gaugePressurePascal: gauge.value,
          absolutePressurePascal: gauge.value + rest.ambientPressurePascal,
          volumes: volumesFromGramPerLitre(rest.carbonDioxideGramPerLitre),
        })
      : gauge;
  },
});
