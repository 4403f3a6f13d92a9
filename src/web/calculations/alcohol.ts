/** Alcohol from two gravities, and by volume or by mass. */
import { ok } from '../../result.ts';
import { alcoholByVolumeFromMass, alcoholMassFromVolume } from '../../science/alcohol.ts';
import { ethanolDensity } from '../../science/ethanol-density.ts';
import { calculation } from './calculation.ts';
import { byVolume, gramPerLitre, percent } from './drink-fields.ts';
import { given } from './field.ts';
import { originalGravity, presentGravity, stateOf } from './gravity-fields.ts';
import { asbcBeer6, asbcCubic, balling, oimlR22 } from './source.ts';

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
