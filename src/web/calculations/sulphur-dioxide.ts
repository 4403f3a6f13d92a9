/** Sulphur dioxide in a wine: the part of the free that protects, and the free that a target asks for. */
import { ok } from '../../result.ts';
import {
  freeForMolecular,
  greatestMolecularFraction,
  molecularFraction,
  molecularSulphurDioxide,
} from '../../science/sulphur-dioxide.ts';
import { calculation } from './calculation.ts';
import { byVolume, celsius, percent } from './drink-fields.ts';
import { given, preset } from './field.ts';
import { located } from './located.ts';
import { molecularShare, thermodynamicConstant } from './source.ts';

const sulphurCaution =
  'Sulphur dioxide is toxic to breathe and limited by law in what is sold. Follow the safety sheet of what you add; local codes and licensed practice decide what a drink may hold.';

const pHField = given({ label: 'pH', unit: '', example: 3.4 });

export const molecular = calculation({
  name: 'molecular-sulphur-dioxide',
  title: 'Molecular sulphur dioxide',
  purpose: 'The part of the free sulphur dioxide that protects a wine, at its pH.',
  caution: sulphurCaution,
  inputs: {
    freeMilligramPerLitre: given({ label: 'Free sulphur dioxide', unit: 'mg/L', example: 30 }),
    pH: pHField,
    alcoholByVolumePercent: preset(12, {
      label: 'Alcohol',
      ...byVolume,
      hint: '0 to 15, for the other end.',
    }),
    temperatureCelsius: preset(20, {
      label: 'Temperature of the wine',
      ...celsius,
      hint: '20 to 40, for the other end.',
    }),
  },
  answers: {
    molecularMilligramPerLitre: {
      kind: 'number',
      label: 'Molecular, the careful figure',
      unit: 'mg/L',
      decimals: 2,
      sources: [molecularShare],
    },
    molecularShare: {
      kind: 'number',
      label: 'Of the free',
      ...percent,
      decimals: 2,
      sources: [molecularShare],
    },
    greatestMilligramPerLitre: {
      kind: 'number',
      label: 'The most it could be, with this alcohol and warmth',
      unit: 'mg/L',
      decimals: 2,
      sources: [thermodynamicConstant],
    },
  },
  work: ({ freeMilligramPerLitre, pH, alcoholByVolumePercent, temperatureCelsius }) => {
    const protecting = located(molecularSulphurDioxide(freeMilligramPerLitre, pH), {});
    if (!protecting.ok) return protecting;
    const share = molecularFraction(pH);
    if (!share.ok) return share;
    const greatest = greatestMolecularFraction(pH, alcoholByVolumePercent, temperatureCelsius);
    if (!greatest.ok) return greatest;
    return ok({
      molecularMilligramPerLitre: protecting.value,
      molecularShare: share.value,
      greatestMilligramPerLitre: freeMilligramPerLitre * greatest.value,
    });
  },
});

export const freeForTarget = calculation({
  name: 'free-sulphur-dioxide',
  title: 'Free sulphur dioxide for a target',
  purpose: 'How much free sulphur dioxide gives a molecular target at a pH.',
  caution: sulphurCaution,
  inputs: {
    molecularMilligramPerLitre: given({
      label: 'Molecular wanted',
      unit: 'mg/L',
      hint: '0.5 for red to 0.8 for white wine is common practice.',
      example: 0.8,
    }),
    pH: pHField,
  },
  answers: {
    freeMilligramPerLitre: {
      kind: 'number',
      label: 'Free needed',
      unit: 'mg/L',
      decimals: 1,
      sources: [molecularShare],
    },
  },
  work: ({ molecularMilligramPerLitre, pH }) => {
    const free = freeForMolecular(molecularMilligramPerLitre, pH);
    return free.ok ? ok({ freeMilligramPerLitre: free.value }) : free;
  },
});
