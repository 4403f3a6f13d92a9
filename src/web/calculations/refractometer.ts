/** The refractometer: with alcohol in the sample, and in a cold one. */
import { ok } from '../../result.ts';
import { alcoholByVolumeOfDrink } from '../../science/alcohol.ts';
import { volumeOf } from '../../science/parts.ts';
import { brixAt20, extractFromRefractometer } from '../../science/refractometer.ts';
import { gravityFromDensityAt20 } from '../../science/sucrose-density.ts';
import { calculation } from './calculation.ts';
import { byVolume, celsius, gravityUnit, platoUnit } from './drink-fields.ts';
import { given, preset } from './field.ts';
import { balling, oivTemperature, refractiveIndices, tabarie } from './source.ts';

export const refractometer = calculation({
  name: 'refractometer',
  title: 'Refractometer with alcohol present',
  purpose: 'Reads a fermenting sample by refractometer, whose scale alcohol falsifies.',
  inputs: {
    readingBrix: given({
      label: 'Reading at 20 °C',
      unit: '°Bx',
      example: 6.2,
    }),
    originalExtractPlato: given({
      label: 'Original extract',
      ...platoUnit,
      hint: 'Before fermentation, by hydrometer.',
      example: 12,
    }),
    wortFactor: preset(1, {
      label: 'Wort factor',
      unit: '',
      hint: 'Reading of the same unfermented wort over its extract by hydrometer.',
    }),
  },
  answers: {
    gravity: {
      kind: 'number',
      label: 'Gravity a hydrometer would read',
      ...gravityUnit,
      decimals: 4,
      sources: [refractiveIndices, tabarie],
    },
    realExtractPlato: {
      kind: 'number',
      label: 'Real extract',
      unit: '°P',
      decimals: 1,
      sources: [refractiveIndices, balling],
    },
    alcoholByVolumePercent: {
      kind: 'number',
      label: 'Alcohol',
      ...byVolume,
      decimals: 1,
      sources: [refractiveIndices, balling, tabarie],
    },
    alcoholMassPercent: {
      kind: 'number',
      label: 'Alcohol by mass',
      unit: 'mass %',
      decimals: 1,
      sources: [refractiveIndices, balling],
    },
  },
  work: (input) => {
    const read = extractFromRefractometer(input);
    if (!read.ok) return read;
    const { realExtractPlato, alcoholMassPercent } = read.value;
    const density =
      100_000 /
      volumeOf({
        mass: 100_000,
        extract: 1000 * realExtractPlato,
        alcohol: 1000 * alcoholMassPercent,
      });
    const strength = alcoholByVolumeOfDrink(alcoholMassPercent, density);
    if (!strength.ok) return strength;
    return ok({
      gravity: gravityFromDensityAt20(density),
      realExtractPlato,
      alcoholByVolumePercent: strength.value,
      alcoholMassPercent,
    });
  },
});

export const refractometerTemperature = calculation({
  name: 'refractometer-temperature',
  title: 'Refractometer off its temperature',
  purpose: 'Brings the reading of a cold sample on a sugar scale to 20 °C.',
  inputs: {
    readingBrix: given({ label: 'Reading', unit: '°Bx', example: 15 }),
    sampleTemperatureCelsius: given({
      label: 'Temperature of the sample',
      ...celsius,
      example: 10,
    }),
  },
  answers: {
    brix: {
      kind: 'number',
      label: 'Reading at 20 °C',
      unit: '°Bx',
      decimals: 2,
      sources: [oivTemperature],
    },
    correctionBrix: {
      kind: 'number',
      label: 'Added to the reading',
      unit: '°Bx',
      decimals: 2,
      sources: [oivTemperature],
    },
  },
  work: ({ readingBrix, sampleTemperatureCelsius }) => {
    const at20 = brixAt20(readingBrix, sampleTemperatureCelsius);
    return at20.ok ? ok({ brix: at20.value, correctionBrix: at20.value - readingBrix }) : at20;
  },
});
