/** How fast the head pressure rises in a fermenter that is shut while it works. */
import { fail, ok } from '../../result.ts';
import { carbonDioxideGramPerHour } from '../../science/gas-evolved.ts';
import {
  type ClosedVessel,
  carbonDioxideGramToReach,
  closedVesselAtPressure,
  pressureRisePerHour,
} from '../../science/headspace.ts';
import { refermentationCaution } from '../../science/refermentation-words.ts';
import { calculation } from './calculation.ts';
import { ambientField, bar, celsius, litre } from './drink-fields.ts';
import { given, ifKnown } from './field.ts';
import {
  extractFall,
  fallPlace,
  gravityPlaces,
  hoursPerDay,
  originalGravity,
  presentGravity,
  stateOf,
} from './gravity-fields.ts';
import { located } from './located.ts';
import { asbcCubic, balling, carroll, closedBalance, drinkSolubility, vapour } from './source.ts';

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
