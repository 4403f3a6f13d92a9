/** Gas that a fermentation makes, and how much of it has left the liquid. */
import { ok } from '../../result.ts';
import {
  carbonDioxideMade,
  carbonDioxideReleased,
  gramPerGasLitre,
} from '../../science/gas-evolved.ts';
import { calculation } from './calculation.ts';
import { ambientField, bar, celsius, litre } from './drink-fields.ts';
import { given, preset } from './field.ts';
import { gravityPlaces, originalGravity, presentGravity, stateOf } from './gravity-fields.ts';
import { located } from './located.ts';
import { roomCaution } from './room-air.ts';
import {
  asbcCubic,
  balling,
  carroll,
  drinkSolubility,
  supersaturation,
  vapour,
  volumeOfGas,
} from './source.ts';

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
