/**
 * The watch over a vessel's pressure: takes the chronicle each time a bucket closes, and says what is ahead,
 * whether the drink ferments in its closed vessel, and whether gas is lost. Pure: no I/O, no clock.
 */
import { volumesFromGramPerLitre } from '../../science/carbonation.ts';
import { closedVesselAtRest } from '../../science/headspace.ts';
import type { Chronicle } from '../course/chronicle.ts';
import type { Finding } from '../finding.ts';
import type { Watched } from '../watched.ts';
import { celsius, duration, gaugePressure, percent } from '../words/spoken.ts';
import { closedVesselOf } from './closed-drink.ts';
import { steadyFall } from './leak.ts';
import { pressureCaution } from './over-pressure.ts';
import { type PressureAhead, pressureAhead } from './pressure-ahead.ts';
import type { PressureMemory } from './pressure-memory.ts';
import { type PressureSigns, pressureSigns } from './pressure-signs.ts';
import { steadyRise } from './steady-rise.ts';

/** Chance of a crossing at which the alarm is raised, and at which it is over. Chosen by us. */
const raiseChance = 0.5;
const clearChance = 0.15;

/** A crossing expected sooner than this is urgent: it comes while people sleep. Chosen by us. */
const urgentSeconds = 12 * 3600;

export const pressureStep = (
  watched: Watched,
  { rows }: Chronicle,
  now: number,
): { readonly memory: PressureMemory | null; readonly findings: readonly Finding[] } => {
  const signs = pressureSigns(watched, rows);
  if (signs === null) return { memory: null, findings: [] };
  const ahead = pressureAhead(watched, signs);
  const findings: Finding[] = [];
  if (ahead !== null) findings.push(aheadFinding(watched, signs, ahead, now));
  if (!watched.vessel.gasConnected) {
    findings.push(refermentationFinding(signs, now));
    findings.push(leakFinding(signs, now));
  }
  return { memory: remembered(watched, signs, ahead), findings };
};

const aheadFinding = (
  watched: Watched,
  signs: PressureSigns,
  ahead: PressureAhead,
  now: number,
): Finding => {
  const rated = watched.vessel.ratedGaugePressurePascal ?? 0;
  const soon = ahead.crossing !== null && ahead.crossing.value - now < urgentSeconds;
  return {
    kind: 'over-pressure-ahead',
    channel: null,
    condition:
      ahead.chance >= raiseChance ? 'holds' : ahead.chance <= clearChance ? 'clear' : 'between',
    at: now,
    priority: soon ? 'high' : 'medium',
    onDelaySeconds: 0,
    // A forecast wavers; it must be calm for hours before the alarm returns.
    offDelaySeconds: 4 * 3600,
    words: () => ({
      evidence: aheadEvidence(signs, ahead, rated, now),
      likelyCauses:
        ahead.way === 'warm-up'
          ? ['cooling has failed, or the vessel stands in a warmer place']
          : [
              'the drink ferments in the closed vessel',
              'the vent or spunding valve is blocked or shut',
              'the gas regulator is set too high or leaks through',
            ],
      checkFirst:
        ahead.way === 'warm-up'
          ? [
              'cool the vessel, or bring it back to the cold',
              'check the cooling',
              'watch its own gauge',
            ]
          : [
              'check the vent, and that the gas supply is closed',
              'cool the vessel, which slows yeast and lowers the pressure',
              'relieve the pressure slowly through the proper valve, with eye protection',
            ],
      caution: pressureCaution,
    }),
  };
};

const aheadEvidence = (
  signs: PressureSigns,
  ahead: PressureAhead,
  rated: number,
  now: number,
): string => {
  const base = `gauge pressure is ${gaugePressure(signs.pascal)}, ${percent(signs.pascal / rated)} of the rated ${gaugePressure(rated)}`;
  if (ahead.crossing === null || ahead.way === null)
    return `${base}, and is not expected to reach it.`;
  const span = (time: number): string => duration(Math.max(0, time - now));
  const when = `The rating is expected to be crossed in ${span(ahead.crossing.value)} (between ${span(ahead.crossing.low)} and ${span(ahead.crossing.high)}).`;
  if (ahead.way === 'warm-up' && ahead.endCelsius !== null && ahead.crossingCelsius !== null) {
    return (
      `${base}. Temperature is ${celsius(signs.celsius ?? 0)} and heads for ${celsius(ahead.endCelsius.value)} ` +
      `(${celsius(ahead.endCelsius.low)} to ${celsius(ahead.endCelsius.high)}); at ${celsius(ahead.crossingCelsius)} ` +
      `the gas in this vessel reaches the rating. ${when}`
    );
  }
  return `${base}, and rises by ${(ahead.risePerHour / 1000).toFixed(1)} kPa an hour, seen over ${ahead.riseHours} h at one temperature. ${when}`;
};

const refermentationFinding = (signs: PressureSigns, now: number): Finding => {
  const rise = steadyRise(signs);
  const holds = rise !== null;
  return {
    kind: 'refermentation',
    channel: null,
    condition: holds ? 'holds' : 'clear',
    at: now,
    priority: 'medium',
    onDelaySeconds: 0,
    offDelaySeconds: 24 * 3600,
    words: () => ({
      evidence: holds
        ? `gauge pressure has risen by ${(((rise?.trend.slope ?? 0) * (rise?.riseHours ?? 0)) / 1000).toFixed(1)} kPa in ${rise?.riseHours ?? 0} h ` +
          `without warming and without a gas supply, to ${gaugePressure(signs.pascal)}: more gas than the vessel was filled with.`
        : `gauge pressure rises no more; it is ${gaugePressure(signs.pascal)}.`,
      likelyCauses: [
        'yeast ferments extract that was left in the drink',
        'wild yeast or bacteria ferment what brewing yeast left',
        'a gas supply is open although none is noted',
      ],
      checkFirst: [
        'cool the vessel to stop the yeast',
        'take a sample and compare its gravity with the one at filling',
        'relieve the pressure slowly through the proper valve, with eye protection',
      ],
      caution: pressureCaution,
    }),
  };
};

const leakFinding = (signs: PressureSigns, now: number): Finding => {
  const fall = steadyFall(signs);
  return {
    kind: 'leak',
    channel: null,
    condition: fall === null ? 'clear' : 'holds',
    at: now,
    // Low at the vessel, medium for the room: leaked gas gathers where people breathe.
    priority: 'medium',
    onDelaySeconds: 0,
    offDelaySeconds: 24 * 3600,
    words: () => ({
      evidence:
        fall === null
          ? `gauge pressure falls no more; it is ${gaugePressure(signs.pascal)}.`
          : `gauge pressure has fallen by ${((fall.perHour * fall.trend.spanHours) / 1000).toFixed(1)} kPa in ${fall.fallHours} h, ` +
            `by night as by day and without cooling, to ${gaugePressure(signs.pascal)}: ${kilopascals(fall.perHour)} an hour, ` +
            `${kilopascals(fall.latePerHour)} of late. Pours would rest, and gas would come back after them.`,
      likelyCauses: [
        'a seal, coupling or valve leaks',
        'the relief valve does not shut',
        'gas is being taken up by a drink that was not yet carbonated',
      ],
      checkFirst: [
        'brush soapy water over seals and couplings and look for bubbles',
        'tighten nothing under pressure: relieve it first',
        'ventilate the room before going in low places',
      ],
      caution:
        'Leaked carbon dioxide is heavier than air and gathers in low places, where it can suffocate. Ventilate, and trust a certified gas monitor, not Gyleward.',
    }),
  };
};

const kilopascals = (pascal: number): string => `${(pascal / 1000).toPrecision(2)} kPa`;

const remembered = (
  watched: Watched,
  signs: PressureSigns,
  ahead: PressureAhead | null,
): PressureMemory => {
  const { still } = signs;
  const state =
    still === null || signs.celsius === null
      ? null
      : closedVesselAtRest(closedVesselOf(watched, still.celsius), still.gram, signs.celsius);
  const rest = state?.ok ? state.value : null;
  return {
    at: signs.at,
    gaugePressurePascal: Math.round(signs.pascal),
    temperatureCelsius: signs.celsius,
    contentGram: still?.gram ?? null,
    restPascal: rest === null ? null : Math.round(rest.gaugePressurePascal),
    volumes:
      rest === null
        ? null
        : Number(volumesFromGramPerLitre(rest.carbonDioxideGramPerLitre).toFixed(3)),
    crossingAt: ahead !== null && ahead.chance >= raiseChance ? ahead.crossing : null,
    basis:
      still === null
        ? 'Pressure alone: without a temperature the gas in the drink is not known.'
        : `Gas by mass balance over liquid and headspace (Henry's law after Carroll, Slupsky and Mather 1991), from pressure at ${celsius(still.celsius)}.` +
          (ahead === null
            ? ' No rated pressure is known, so none is foretold to be crossed.'
            : ahead.way === null
              ? ' Pressure and temperature are steady.'
              : ` Chance of crossing the rating: ${percent(ahead.chance)}.`),
  };
};
