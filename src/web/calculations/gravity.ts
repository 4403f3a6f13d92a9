/** Gravity and extract: one scale into the others, and what floats or weighs off its temperature. */
import { ok, type Result } from '../../result.ts';
import { brixFromGravity } from '../../science/brix.ts';
import type { ScienceFault } from '../../science/fault.ts';
import { extractFromGravity } from '../../science/gravity.ts';
import { gravityFromDensity, gravityFromHydrometer } from '../../science/hydrometer.ts';
import { densityAt20FromGravity } from '../../science/sucrose-density.ts';
import { convertGravity } from '../../science/units/convert.ts';
import { calculation } from './calculation.ts';
import { byVolume, celsius, gravityUnit } from './drink-fields.ts';
import { choice, given, preset } from './field.ts';
import { located } from './located.ts';
import { asbcCubic, glass, icumsaDensity, nbsTable, tabarie } from './source.ts';

const gravityAnswer = {
  kind: 'number',
  label: 'Gravity at 20 °C',
  ...gravityUnit,
  decimals: 4,
} as const;
const extractAnswer = { kind: 'number', label: 'Extract', unit: '°P', decimals: 2 } as const;

export const gravityAndExtract = calculation({
  name: 'gravity-and-extract',
  title: 'Gravity and extract',
  purpose: 'Says one gravity in every scale of the trade: SG, points, °P and °Bx.',
  inputs: {
    value: given({ label: 'Reading', unit: '', example: 1.048 }),
    scale: choice({
      label: 'Scale',
      options: {
        SG: 'specific gravity, SG 20/20',
        points: 'points above 1.000',
        '°Oe': 'degrees Oechsle',
        '°P': 'degrees Plato',
        '°Bx': 'degrees Brix',
      },
    }),
  },
  answers: {
    extractPlato: { ...extractAnswer, sources: [asbcCubic] },
    gravity: { ...gravityAnswer, label: 'Specific gravity', sources: [asbcCubic] },
    gravityPoints: {
      kind: 'number',
      label: 'Above 1.000',
      unit: 'points',
      decimals: 1,
      sources: [asbcCubic],
    },
    brix: {
      kind: 'number',
      label: 'Sugar',
      unit: '°Bx',
      decimals: 2,
      none: 'its table begins at 0 °Bx',
      sources: [nbsTable],
    },
    densityKilogramPerCubicMetre: {
      kind: 'number',
      label: 'Density at 20 °C, in vacuo',
      unit: 'kg/m3',
      measure: 'density',
      decimals: 1,
      sources: [icumsaDensity],
    },
  },
  work: ({ value, scale }) => {
    const places = { extractPlato: 'value', brix: 'value', gravity: 'value' };
    const gravity = located(convertGravity(value, scale, 'SG'), places);
    if (!gravity.ok) return gravity;
    const extract = located(extractFromGravity(gravity.value), places);
    if (!extract.ok) return extract;
    const brix = brixFromGravity(gravity.value);
    return ok({
      extractPlato: extract.value,
      gravity: gravity.value,
      gravityPoints: (gravity.value - 1) * 1000,
      brix: brix.ok ? brix.value : null,
      densityKilogramPerCubicMetre: densityAt20FromGravity(gravity.value),
    });
  },
});

const withExtract = (
  gravity: Result<number, ScienceFault>,
): Result<{ readonly gravity: number; readonly extractPlato: number }, ScienceFault> => {
  if (!gravity.ok) return gravity;
  const extract = extractFromGravity(gravity.value);
  return extract.ok ? ok({ gravity: gravity.value, extractPlato: extract.value }) : extract;
};

const alcoholOfSample = preset(0, {
  label: 'Alcohol in the sample',
  ...byVolume,
  hint: '0 before fermentation; a rough figure is enough.',
});

export const hydrometer = calculation({
  name: 'hydrometer',
  title: 'Hydrometer off its temperature',
  purpose: 'Brings a hydrometer reading in a warm or cold sample to what it is at 20 °C.',
  inputs: {
    readingGravity: given({ label: 'Reading', ...gravityUnit, example: 1.04 }),
    sampleTemperatureCelsius: given({
      label: 'Temperature of the sample',
      ...celsius,
      example: 28,
    }),
    calibrationTemperatureCelsius: preset(20, {
      label: 'Calibration temperature',
      ...celsius,
      hint: 'As printed on the hydrometer.',
    }),
    alcoholByVolumePercent: alcoholOfSample,
  },
  answers: {
    gravity: { ...gravityAnswer, sources: [icumsaDensity, glass] },
    correctionPoints: {
      kind: 'number',
      label: 'Added to the reading',
      unit: 'points',
      decimals: 1,
      sources: [icumsaDensity, glass],
    },
    extractPlato: { ...extractAnswer, sources: [asbcCubic] },
  },
  work: (input) => {
    const read = withExtract(
      located(gravityFromHydrometer(input), {
        gravity: 'readingGravity',
        temperatureCelsius: 'sampleTemperatureCelsius',
      }),
    );
    const corrected = located(read, { gravity: 'readingGravity' });
    if (!corrected.ok) return corrected;
    return ok({
      ...corrected.value,
      correctionPoints: (corrected.value.gravity - input.readingGravity) * 1000,
    });
  },
});

export const densityMeter = calculation({
  name: 'density-meter',
  title: 'Density meter',
  purpose: 'Turns a density measured at the temperature of the sample into gravity at 20 °C.',
  inputs: {
    densityKilogramPerCubicMetre: given({
      label: 'Density',
      unit: 'kg/m3',
      measure: 'density',
      example: 1041.2,
    }),
    temperatureCelsius: given({ label: 'Temperature of the sample', ...celsius, example: 12 }),
    alcoholByVolumePercent: alcoholOfSample,
  },
  answers: {
    gravity: { ...gravityAnswer, sources: [icumsaDensity, tabarie] },
    extractPlato: { ...extractAnswer, sources: [asbcCubic] },
  },
  work: (input) =>
    located(
      withExtract(
        gravityFromDensity(
          input.densityKilogramPerCubicMetre,
          input.temperatureCelsius,
          input.alcoholByVolumePercent,
        ),
      ),
      { gravity: 'densityKilogramPerCubicMetre' },
    ),
});
