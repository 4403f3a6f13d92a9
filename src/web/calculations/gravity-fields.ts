/** Original and present gravity as fields, what Balling makes of them, and faults put back at them. */
import { fermentationState } from '../../science/fermentation-state.ts';
import { gravityAt } from '../../science/gravity.ts';
import { gravityUnit } from './drink-fields.ts';
import { given } from './field.ts';
import { located, type Place, type Places } from './located.ts';

/** Where an extract of a formula stands in a body that gives a gravity. */
export const asGravity = (field: string): Place => ({ field, unit: 'SG 20/20', read: gravityAt });

/** Where the extracts of Balling's balance stand in a body that gives gravities. */
export const gravityPlaces: Places = {
  originalExtractPlato: asGravity('originalGravity'),
  apparentExtractPlato: asGravity('presentGravity'),
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
    apparentExtractPlato: asGravity('originalGravity'),
    gravity: 'originalGravity',
  });
  if (!original.ok) return original;
  return located(fermentationState(originalGravityGiven, presentGravityGiven), {
    ...gravityPlaces,
    gravity: 'presentGravity',
  });
};

export const hoursPerDay = 24;

export const extractFall = given({
  label: 'Fall of extract',
  unit: '°P per day',
  hint: 'A fall of 4 points of gravity is about 1 °P.',
  example: 2.5,
});

/** Where a rate per hour stands in a body that gives it per day. */
export const fallPlace = {
  extractFallPlatoPerHour: {
    field: 'extractFallPlatoPerDay',
    unit: '°P per day',
    read: (perHour: number) => perHour * hoursPerDay,
  },
};
