/** Fields that several calculations share: the drink, its gas, temperatures, pressures and gravities. */
import { standardAtmosphere } from '../../science/gas-law.ts';
import { typicalBeer } from '../../science/solubility.ts';
import { preset, type Unit } from './field.ts';

export const celsius = { unit: '°C', measure: 'temperature' } as const satisfies Unit;
export const litre = { unit: 'L', measure: 'volume' } as const satisfies Unit;
export const gravityUnit = { unit: 'SG', measure: 'gravity' } as const satisfies Unit;
export const platoUnit = { unit: '°P', measure: 'gravity' } as const satisfies Unit;
export const byVolume = { unit: '% vol' } as const satisfies Unit;
export const gramPerLitre = { unit: 'g/L', measure: 'concentration' } as const satisfies Unit;

/** Stored in pascal, typed and shown in bar. */
export const bar = {
  unit: 'Pa',
  measure: 'pressure',
  typedAs: { unit: 'bar', ending: ['Pascal', 'Bar'] },
} as const satisfies Unit;

/** Stored in g/L, typed and shown in volumes. */
export const volumes = {
  unit: 'g/L',
  measure: 'carbonation',
  typedAs: { unit: 'volumes', ending: ['GramPerLitre', 'Volumes'] },
} as const satisfies Unit;

/** Stored as a fraction, typed and shown in per cent. */
export const percent = {
  unit: '',
  measure: 'share',
  typedAs: { unit: '%', ending: ['Share', 'SharePercent'] },
} as const satisfies Unit;

/** What of a drink its gas and its expansion depend on; a typical beer until told otherwise. */
export const drinkFields = {
  alcoholByVolumePercent: preset(typicalBeer.alcoholByVolumePercent, {
    label: 'Alcohol',
    ...byVolume,
    part: 'The drink',
    hint: '5.1 for a beer of 12 °P.',
  }),
  extractGramPerLitre: preset(typicalBeer.extractGramPerLitre, {
    label: 'Real extract',
    ...gramPerLitre,
    part: 'The drink',
    hint: '42.6 for that beer; the calculation of alcohol tells it.',
  }),
} as const;

/** The standard atmosphere, until the local air pressure is given. */
export const ambientField = preset(standardAtmosphere, {
  label: 'Local air pressure',
  unit: 'Pa',
  measure: 'pressure',
  typedAs: { unit: 'hPa', ending: ['Pascal', 'Hectopascal'] },
  part: 'The place',
  hint: 'As a barometer on the spot reads it, not brought to sea level. 1 hPa less for each 8.5 m of height.',
});
