/** A keg or tank that is shut: its pressure as it is, at the warmest it may see, and if it referments. */
import { fail, ok, type Result } from '../../result.ts';
import { equilibriumGaugePressure, volumesFromGramPerLitre } from '../../science/carbonation.ts';
import type { ScienceFault } from '../../science/fault.ts';
import {
  type ClosedVessel,
  closedVesselAtPressure,
  liquidFullAtCelsius,
} from '../../science/headspace.ts';
import { refermentationCaution } from '../../science/refermentation-words.ts';
import { calculation } from './calculation.ts';
import {
  ambientField,
  bar,
  celsius,
  drinkFields,
  gramPerLitre,
  litre,
  volumes,
} from './drink-fields.ts';
import { given, ifKnown } from './field.ts';
import {
  kegVerdict,
  pressureSources,
  remediesFigure,
  verdictFigures,
  yeastField,
} from './keg-verdict.ts';
import { located } from './located.ts';
import {
  carroll,
  closedBalance,
  drinkSolubility,
  icumsaDensity,
  oimlR22,
  vapour,
  volumeOfGas,
} from './source.ts';

const part = {
  vessel: 'The vessel',
  gas: 'Its gas',
  warmth: 'Its temperature',
  drink: 'The drink',
};

/** The content at rest, g/L, from whichever of the two was given. */
const contentOf = (
  vessel: ClosedVessel,
  carbonDioxideGramPerLitre: number | null,
  gaugePressurePascal: number | null,
): Result<number, ScienceFault> => {
  if (carbonDioxideGramPerLitre !== null && gaugePressurePascal !== null) {
    return fail({
      kind: 'no-solution',
      field: 'gaugePressurePascal',
      reason: 'the carbonation is given too, and one follows from the other; give only one of them',
    });
  }
  if (carbonDioxideGramPerLitre !== null) return ok(carbonDioxideGramPerLitre);
  if (gaugePressurePascal === null) {
    return fail({
      kind: 'no-solution',
      field: 'carbonDioxideGramPerLitre',
      reason: 'it is missing; give it, or what the gauge reads at rest',
    });
  }
  const state = closedVesselAtPressure(vessel, gaugePressurePascal, vessel.filledAtCelsius);
  return state.ok ? ok(state.value.carbonDioxideGramPerLitre) : state;
};

export const closedVessel = calculation({
  name: 'closed-vessel',
  title: 'Pressure in a closed vessel',
  purpose: 'What a shut keg or tank reads as it is, at the warmest, and if its drink referments.',
  caution: refermentationCaution,
  inputs: {
    vesselVolumeLitre: given({
      label: 'Whole volume',
      ...litre,
      part: part.vessel,
      hint: 'Liquid and headspace together.',
      example: 50,
    }),
    headspaceLitre: given({
      label: 'Headspace',
      ...litre,
      part: part.vessel,
      hint: 'Gas space above the liquid, 1 to 90 % of the vessel.',
      example: 2.5,
    }),
    ratedGaugePressurePascal: ifKnown({
      label: 'Rated gauge pressure',
      ...bar,
      part: part.vessel,
      hint: 'Read it from the nameplate, never from memory. Blank if there is none.',
      example: 300_000,
    }),
    temperatureCelsius: given({
      label: 'Present temperature',
      ...celsius,
      part: part.warmth,
      example: 4,
    }),
    warmestCelsius: given({
      label: 'Warmest temperature',
      ...celsius,
      part: part.warmth,
      hint: 'That it may see: in transport, on a summer day, in the sun.',
      example: 25,
    }),
    carbonDioxideGramPerLitre: ifKnown({
      label: 'Carbonation',
      ...volumes,
      part: part.gas,
      hint: 'Or leave it blank and give the pressure.',
      example: 4.54666,
    }),
    gaugePressurePascal: ifKnown({
      label: 'Gauge reading at rest',
      ...bar,
      part: part.gas,
      hint: 'Instead of the carbonation; shaken or stood for a day.',
      example: null,
    }),
    fermentableGramPerLitre: given({
      label: 'Fermentable extract',
      ...gramPerLitre,
      part: part.drink,
      hint: 'Still left: 1 point above the terminal gravity is about 2 g/L; sugar added counts in full.',
      example: 18,
    }),
    yeast: { ...yeastField, part: part.drink },
    ...drinkFields,
    ambientPressurePascal: ambientField,
  },
  answers: {
    ...verdictFigures,
    gaugePressurePresentPascal: {
      kind: 'number',
      label: 'At present, by the gauge',
      ...bar,
      decimals: 2,
      sources: [carroll, drinkSolubility, vapour],
    },
    carbonationVolumes: {
      kind: 'number',
      label: 'Carbonation at present',
      unit: 'volumes',
      decimals: 2,
      sources: [...pressureSources, volumeOfGas],
    },
    fullToTheBrimCelsius: {
      kind: 'number',
      label: 'Full to the brim at',
      ...celsius,
      decimals: 1,
      none: 'not below 45 °C',
      sources: [closedBalance, icumsaDensity, oimlR22],
    },
    remedies: remediesFigure,
  },
  work: (input) => {
    const drink = {
      alcoholByVolumePercent: input.alcoholByVolumePercent,
      extractGramPerLitre: input.extractGramPerLitre,
    };
    const vessel: ClosedVessel = {
      drink,
      vesselVolumeLitre: input.vesselVolumeLitre,
      headspaceLitre: input.headspaceLitre,
      filledAtCelsius: input.temperatureCelsius,
      ambientPressurePascal: input.ambientPressurePascal,
    };
    const places = {
      filledAtCelsius: 'temperatureCelsius',
      partialPressurePascal: 'gaugePressurePascal',
      carbonDioxideGram: {
        field: 'carbonDioxideGramPerLitre',
        unit: 'g/L',
        read: (gram: number) => gram / (input.vesselVolumeLitre - input.headspaceLitre),
      },
    };
    const content = located(
      contentOf(vessel, input.carbonDioxideGramPerLitre, input.gaugePressurePascal),
      places,
    );
    if (!content.ok) return content;
    const judged = located(
      kegVerdict({
        vessel,
        ratedGaugePressurePascal: input.ratedGaugePressurePascal,
        carbonDioxideGramPerLitre: content.value,
        fermentableGramPerLitre: input.fermentableGramPerLitre,
        warmestCelsius: input.warmestCelsius,
        yeast: input.yeast,
      }),
      places,
    );
    if (!judged.ok) return judged;
    const present = equilibriumGaugePressure({
      drink,
      carbonDioxideGramPerLitre: content.value,
      temperatureCelsius: input.temperatureCelsius,
      ambientPressurePascal: input.ambientPressurePascal,
    });
    if (!present.ok) return present;
    const full = located(liquidFullAtCelsius(vessel), places);
    if (!full.ok) return full;
    return ok({
      ...judged.value,
      gaugePressurePresentPascal: present.value,
      carbonationVolumes: volumesFromGramPerLitre(content.value),
      fullToTheBrimCelsius: full.value,
    });
  },
});
