/** Gas that a fermentation makes: how much, how fast the pressure rises with it, what a column adds to it. */
import { fail, ok } from '../../result.ts';
import {
  carbonDioxideGramPerHour,
  carbonDioxideMade,
  carbonDioxideReleased,
  gramPerGasLitre,
} from '../../science/gas-evolved.ts';
import {
  type ClosedVessel,
  carbonDioxideGramToReach,
  closedVesselAtPressure,
  pressureRisePerHour,
} from '../../science/headspace.ts';
import { hydrostaticPressurePascal } from '../../science/hydrostatic.ts';
import { refermentationCaution } from '../../science/refermentation-words.ts';
import { ambientPressureAtHeight } from '../../science/units/gauge.ts';
import { gravityPlaces, originalGravity, presentGravity, stateOf } from './alcohol.ts';
import { calculation } from './calculation.ts';
import { ambientField, bar, celsius, litre } from './drink-fields.ts';
import { given, ifKnown, preset } from './field.ts';
import { located } from './located.ts';
import { roomCaution } from './room-air.ts';
import {
  asbcCubic,
  balling,
  carroll,
  closedBalance,
  drinkSolubility,
  hydrostatics,
  standardAir,
  supersaturation,
  vapour,
  volumeOfGas,
} from './source.ts';

const hoursPerDay = 24;

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

export const pressureRise = calculation({
  name: 'pressure-rise',
  title: 'Pressure rise of a shut fermenter',
  purpose:
    'How fast the head pressure rises while a shut fermenter works on, and when it is at its rating.',
  caution: refermentationCaution,
  inputs: {
    vesselVolumeLitre: given({
      label: 'Whole volume',
      ...litre,
      part: 'The vessel',
      example: 600,
    }),
    headspaceLitre: given({ label: 'Headspace', ...litre, part: 'The vessel', example: 90 }),
    ratedGaugePressurePascal: ifKnown({
      label: 'Rated gauge pressure',
      ...bar,
      part: 'The vessel',
      hint: 'Read it from the nameplate, never from memory. Blank if there is none.',
      example: 100_000,
    }),
    gaugePressurePascal: given({
      label: 'Head pressure by the gauge',
      ...bar,
      part: 'At present',
      example: 20_000,
    }),
    temperatureCelsius: given({
      label: 'Temperature of the drink',
      ...celsius,
      part: 'At present',
      example: 19,
    }),
    originalGravity: { ...originalGravity, part: 'The fermentation' },
    presentGravity: { ...presentGravity, part: 'The fermentation', example: 1.016 },
    extractFallPlatoPerDay: { ...extractFall, part: 'The fermentation' },
    ambientPressurePascal: ambientField,
  },
  answers: {
    hoursToRating: {
      kind: 'number',
      label: 'At its rating after, at this rate',
      unit: 'h',
      decimals: 1,
      none: 'no gas is made',
      needs: 'ratedGaugePressurePascal',
      sources: [carroll, drinkSolubility, vapour, closedBalance, balling],
    },
    pressureRisePascalPerHour: {
      kind: 'number',
      label: 'Head pressure rises by',
      unit: 'Pa per hour',
      decimals: 0,
      sources: [carroll, drinkSolubility, closedBalance, balling],
    },
    pressureRiseBarPerDay: {
      kind: 'number',
      label: 'In a day at this rate',
      unit: 'bar',
      decimals: 2,
      sources: [carroll, drinkSolubility, closedBalance, balling],
    },
    carbonDioxideGramPerHour: {
      kind: 'number',
      label: 'Carbon dioxide made',
      unit: 'g per hour',
      decimals: 1,
      sources: [balling, asbcCubic],
    },
  },
  work: (input) => {
    const state = stateOf(input.originalGravity, input.presentGravity);
    if (!state.ok) return state;
    const vessel: ClosedVessel = {
      drink: state.value.drink,
      vesselVolumeLitre: input.vesselVolumeLitre,
      headspaceLitre: input.headspaceLitre,
      filledAtCelsius: input.temperatureCelsius,
      ambientPressurePascal: input.ambientPressurePascal,
    };
    const places = {
      filledAtCelsius: 'temperatureCelsius',
      partialPressurePascal: 'gaugePressurePascal',
      alcoholByVolumePercent: 'originalGravity',
      extractGramPerLitre: 'originalGravity',
      carbonDioxideGramPerHour: 'extractFallPlatoPerDay',
    };
    const present = located(
      closedVesselAtPressure(vessel, input.gaugePressurePascal, input.temperatureCelsius),
      places,
    );
    if (!present.ok) return present;
    const rate = located(
      carbonDioxideGramPerHour({
        originalExtractPlato: state.value.originalExtractPlato,
        apparentExtractPlato: state.value.apparentExtractPlato,
        extractFallPlatoPerHour: input.extractFallPlatoPerDay / hoursPerDay,
        wortVolumeLitre: input.vesselVolumeLitre - input.headspaceLitre,
      }),
      { ...gravityPlaces, ...fallPlace, wortVolumeLitre: 'headspaceLitre' },
    );
    if (!rate.ok) return rate;
    const rise = located(pressureRisePerHour(vessel, present.value, rate.value), places);
    if (!rise.ok) return rise;
    const rating = input.ratedGaugePressurePascal;
    const toRating =
      rating === null
        ? null
        : located(carbonDioxideGramToReach(vessel, present.value, rating), {
            ...places,
            gaugePressurePascal: 'ratedGaugePressurePascal',
            partialPressurePascal: 'ratedGaugePressurePascal',
          });
    if (toRating?.ok === false) return fail(toRating.fault);
    return ok({
      pressureRisePascalPerHour: rise.value,
      pressureRiseBarPerDay: (rise.value * hoursPerDay) / 1e5,
      carbonDioxideGramPerHour: rate.value,
      hoursToRating:
        toRating === null || rate.value < 1e-9 ? null : Math.max(0, toRating.value / rate.value),
    });
  },
});

export const gasEvolved = calculation({
  name: 'gas-evolved',
  title: 'Gas evolved',
  purpose:
    'Carbon dioxide that a vented fermentation has made, and how much of it has left the liquid.',
  caution: roomCaution,
  inputs: {
    originalGravity,
    presentGravity,
    wortVolumeLitre: given({ label: 'Wort at the start', ...litre, example: 500 }),
    temperatureCelsius: given({ label: 'Temperature of the drink', ...celsius, example: 19 }),
    gaugePressurePascal: preset(0, {
      label: 'Head pressure by the gauge',
      ...bar,
      hint: '0 for an open vent.',
    }),
    ambientPressurePascal: ambientField,
  },
  answers: {
    releasedLitre: {
      kind: 'number',
      label: 'Left the liquid, as gas at 20 °C and 1 atm',
      ...litre,
      decimals: 0,
      sources: [balling, carroll, drinkSolubility, volumeOfGas, supersaturation],
    },
    madeGram: {
      kind: 'number',
      label: 'Made in all',
      unit: 'g',
      decimals: 0,
      sources: [asbcCubic, balling],
    },
    madeLitre: {
      kind: 'number',
      label: 'The same as gas at 20 °C and 1 atm',
      ...litre,
      decimals: 0,
      sources: [balling, volumeOfGas],
    },
    heldGram: {
      kind: 'number',
      label: 'Still in the liquid',
      unit: 'g',
      decimals: 0,
      sources: [carroll, drinkSolubility, vapour, supersaturation],
    },
    releasedGram: {
      kind: 'number',
      label: 'Left the liquid',
      unit: 'g',
      decimals: 0,
      sources: [balling, carroll, drinkSolubility, supersaturation],
    },
  },
  work: (input) => {
    const state = stateOf(input.originalGravity, input.presentGravity);
    if (!state.ok) return state;
    const { originalExtractPlato, apparentExtractPlato, drink } = state.value;
    const made = located(
      carbonDioxideMade({
        originalExtractPlato,
        fromExtractPlato: originalExtractPlato,
        toExtractPlato: apparentExtractPlato,
        wortVolumeLitre: input.wortVolumeLitre,
      }),
      { ...gravityPlaces, toExtractPlato: 'presentGravity', fromExtractPlato: 'originalGravity' },
    );
    if (!made.ok) return made;
    const released = located(
      carbonDioxideReleased({
        originalExtractPlato,
        apparentExtractPlato,
        wortVolumeLitre: input.wortVolumeLitre,
        drink,
        gaugePressurePascal: input.gaugePressurePascal,
        temperatureCelsius: input.temperatureCelsius,
        ambientPressurePascal: input.ambientPressurePascal,
      }),
      { alcoholByVolumePercent: 'originalGravity', extractGramPerLitre: 'originalGravity' },
    );
    if (!released.ok) return released;
    return ok({
      releasedLitre: released.value.releasedLitre,
      madeGram: made.value.gram,
      madeLitre: made.value.gram / gramPerGasLitre,
      heldGram: released.value.heldGram,
      releasedGram: released.value.releasedGram,
    });
  },
});

export const hydrostatic = calculation({
  name: 'hydrostatic-pressure',
  title: 'Pressure of a column',
  purpose: 'What the liquid above a gauge adds to the head pressure.',
  inputs: {
    depthMetre: given({ label: 'Depth below the surface', unit: 'm', example: 2.2 }),
    densityKilogramPerCubicMetre: given({
      label: 'Density',
      unit: 'kg/m3',
      measure: 'density',
      hint: 'A gravity of 1.010 is 1008 kg/m³.',
      example: 1008,
    }),
  },
  answers: {
    pressurePascal: {
      kind: 'number',
      label: 'The column adds',
      ...bar,
      decimals: 3,
      sources: [hydrostatics],
    },
  },
  work: ({ depthMetre, densityKilogramPerCubicMetre }) => {
    const pressure = hydrostaticPressurePascal(depthMetre, densityKilogramPerCubicMetre);
    return pressure.ok ? ok({ pressurePascal: pressure.value }) : pressure;
  },
});

export const localAirPressure = calculation({
  name: 'local-air-pressure',
  title: 'Local air pressure',
  purpose: 'The air pressure to expect at a height, against which every gauge reads.',
  inputs: { heightMetre: given({ label: 'Height above the sea', unit: 'm', example: 320 }) },
  answers: {
    ambientPressurePascal: {
      kind: 'number',
      label: 'Air pressure',
      unit: 'Pa',
      measure: 'pressure',
      typedAs: { unit: 'hPa', ending: ['Pascal', 'Hectopascal'] },
      decimals: 1,
      sources: [standardAir],
    },
  },
  work: ({ heightMetre }) => {
    const pressure = ambientPressureAtHeight(heightMetre);
    return pressure.ok ? ok({ ambientPressurePascal: pressure.value }) : pressure;
  },
});
