/** Heat of fermentation: the rise without cooling, the cooling it takes, the time that a failure leaves. */
import { ok } from '../../result.ts';
import { extractFromGravity } from '../../science/gravity.ts';
import { heatWatt, riseWithoutCooling, timeToLimitWithoutCooling } from '../../science/heat.ts';
import { calculation } from './calculation.ts';
import { celsius, gravityUnit, litre } from './drink-fields.ts';
import { given } from './field.ts';
import {
  asGravity,
  extractFall,
  fallPlace,
  hoursPerDay,
  originalGravity,
  presentGravity,
  stateOf,
} from './gravity-fields.ts';
import { located } from './located.ts';
import { asbcCubic, balling, heatOfFermentation, warmerIsFaster } from './source.ts';

const secondsPerHour = 3600;
const places = {
  originalExtractPlato: asGravity('originalGravity'),
  presentExtractPlato: asGravity('presentGravity'),
  terminalExtractPlato: asGravity('terminalGravity'),
  volumeLitre: 'wortVolumeLitre',
  ...fallPlace,
};

const rise = {
  kind: 'number',
  unit: 'K',
  decimals: 1,
  sources: [balling, heatOfFermentation],
} as const;
const watt = {
  kind: 'number',
  unit: 'W',
  decimals: 0,
  sources: [balling, heatOfFermentation],
} as const;
const timeLeft = {
  kind: 'number',
  unit: 'h',
  decimals: 1,
  sources: [balling, heatOfFermentation, warmerIsFaster],
} as const;

export const heat = calculation({
  name: 'heat',
  title: 'Heat of fermentation',
  purpose: "How far a batch warms without cooling, and how soon it passes the yeast's limit.",
  inputs: {
    originalGravity: { ...originalGravity, part: 'The fermentation' },
    presentGravity: { ...presentGravity, part: 'The fermentation', example: 1.036 },
    terminalGravity: given({
      label: 'Expected terminal gravity',
      ...gravityUnit,
      part: 'The fermentation',
      example: 1.01,
    }),
    extractFallPlatoPerDay: { ...extractFall, part: 'The fermentation', example: 3.6 },
    wortVolumeLitre: given({
      label: 'Wort at the start',
      ...litre,
      part: 'The fermentation',
      example: 500,
    }),
    temperatureCelsius: given({
      label: 'Present temperature',
      ...celsius,
      part: 'Temperature',
      example: 19,
    }),
    limitCelsius: given({
      label: "The yeast's upper limit",
      ...celsius,
      part: 'Temperature',
      example: 22,
    }),
  },
  answers: {
    earliestHours: {
      ...timeLeft,
      label: 'Passes the limit without cooling, at the earliest after',
      none: 'stays below it',
    },
    latestHours: {
      ...timeLeft,
      label: 'At the latest after',
      none: 'it may never',
    },
    riseLowKelvin: { ...rise, label: 'Warms without cooling by, at least' },
    riseHighKelvin: { ...rise, label: 'Warms without cooling by, at most' },
    coolingLowWatt: { ...watt, label: 'Cooling it takes at present, at least' },
    coolingHighWatt: { ...watt, label: 'Cooling it takes at present, at most' },
    originalExtractPlato: {
      kind: 'number',
      label: 'Original extract',
      unit: '°P',
      decimals: 1,
      sources: [asbcCubic],
    },
  },
  work: (input) => {
    const state = stateOf(input.originalGravity, input.presentGravity);
    if (!state.ok) return state;
    const terminal = located(extractFromGravity(input.terminalGravity), {
      gravity: 'terminalGravity',
    });
    if (!terminal.ok) return terminal;
    const extracts = {
      originalExtractPlato: state.value.originalExtractPlato,
      presentExtractPlato: state.value.apparentExtractPlato,
      terminalExtractPlato: terminal.value,
      extractFallPlatoPerHour: input.extractFallPlatoPerDay / hoursPerDay,
    };
    const warmed = located(riseWithoutCooling(extracts), {
      ...places,
      apparentExtractPlato: asGravity('terminalGravity'),
    });
    if (!warmed.ok) return warmed;
    const cooling = located(heatWatt({ ...extracts, volumeLitre: input.wortVolumeLitre }), places);
    if (!cooling.ok) return cooling;
    const failure = located(
      timeToLimitWithoutCooling({
        ...extracts,
        temperatureCelsius: input.temperatureCelsius,
        limitCelsius: input.limitCelsius,
      }),
      places,
    );
    if (!failure.ok) return failure;
    const reaches = failure.value.kind === 'reaches-limit' ? failure.value : null;
    const latest = reaches?.latestSeconds ?? null;
    return ok({
      earliestHours: reaches === null ? null : reaches.earliestSeconds / secondsPerHour,
      latestHours: latest === null ? null : latest / secondsPerHour,
      riseLowKelvin: warmed.value.low,
      riseHighKelvin: warmed.value.high,
      coolingLowWatt: cooling.value.low,
      coolingHighWatt: cooling.value.high,
      originalExtractPlato: state.value.originalExtractPlato,
    });
  },
});
