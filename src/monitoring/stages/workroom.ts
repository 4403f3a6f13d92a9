/**
 * The air that people breathe: carbon dioxide over a working day, over a quarter of an hour and at once, and oxygen.
 * Judged wherever such air is measured, whatever stage the vessel is in. No delay and no confirmation: a stray
 * reading empties a room once, a late alarm can cost a life. Gyleward is no gas detector, and says so.
 * Pure: no I/O, no clock.
 */
import type { AlarmKind, Priority } from '../alarms/alarm.ts';
import type { Finding, FindingWords } from '../finding.ts';
import type { Watched } from '../watched.ts';
import { duration, percent } from '../words/spoken.ts';
import type { Reading } from './course.ts';
import { type Exposure, highestPpm, holdSeconds, meansAt } from './exposure.ts';
import { limitOf } from './limits.ts';

/** Back under this share of a limit it is over. Chosen by us: a fan on and off swings by as much. */
const returnShare = 0.9;
/** Oxygen back above its limit by so much: the error of an ordinary cell. Chosen by us. */
const oxygenDeadband = 0.002;
const offDelaySeconds = 15 * 60;

const niosh =
  'NIOSH, Documentation for Immediately Dangerous Concentrations, carbon dioxide, 1994 (REL and OSHA PEL 5 000 ppm, short-term 30 000 ppm, IDLH 40 000 ppm).';

const leaveCaution =
  'Leave the room and let nobody in. Ventilate from outside: open doors, start the fan from its outside switch. ' +
  'Do not go in to help somebody who is down: call for help, and let people with breathing apparatus go in. ' +
  'A certified gas monitor decides when the room is safe, not Gyleward. Carbon dioxide is heavier than air and lies deepest near the floor and in pits.';

const airCaution =
  'Gyleward is no gas detector. Let a certified gas monitor decide who may stay, and never work alone in such a room. ' +
  'Carbon dioxide is heavier than air and lies deepest near the floor and in pits.';

const causes = [
  'fermenters give off more gas than the room is ventilated for',
  'a keg, hose, coupling or cylinder leaks',
  'the fan or the extraction has stopped, or doors are shut',
] as const;

const getOut = [
  'leave at once, and keep others out',
  'ventilate from outside',
  'call for help if anybody is missing; do not go in',
  'shut the gas supply only if it can be reached from outside',
] as const;

const ppm = (value: number): string => `${Math.round(value)} ppm`;

/** What one reading of carbon dioxide says by itself. */
export const dangerousAir = (watched: Watched, { time, value }: Reading): Finding => {
  const limit = limitOf(watched, 'workroom', 'dangerousPpm') ?? 40_000;
  return air('air-danger', 'high', upper(value, limit), time, () => ({
    evidence: `carbon dioxide is ${ppm(value)}; ${ppm(limit)} is immediately dangerous to life or health.`,
    likelyCauses: causes,
    checkFirst: getOut,
    caution: leaveCaution,
    source: niosh,
  }));
};

/** What one reading of oxygen says by itself. */
export const lowOxygen = (watched: Watched, { time, value }: Reading): Finding => {
  const limit = limitOf(watched, 'workroom', 'oxygenFraction') ?? 0.195;
  const condition = value < limit ? 'holds' : value >= limit + oxygenDeadband ? 'clear' : 'between';
  return {
    ...air('low-oxygen', 'high', condition, time, () => ({
      evidence: `oxygen is ${(100 * value).toFixed(1)} %, against ${(100 * limit).toFixed(1)} % at the least; fresh air holds 20.9 %.`,
      likelyCauses: [
        'carbon dioxide or nitrogen has pushed the air out',
        ...causes,
        'the oxygen cell is old and reads low',
      ],
      checkFirst: getOut,
      caution: leaveCaution,
      source: 'Oxygen at least 19.5 %: 30 CFR 75.321; OSHA 29 CFR 1910.134.',
    })),
    channel: 'oxygen',
  };
};

/** What carbon dioxide comes to over a quarter of an hour and a working day. */
export const breathedAir = (
  watched: Watched,
  exposure: Exposure,
  now: number,
): readonly Finding[] => {
  const means = meansAt(exposure, now);
  // A silent sensor says neither that the air is bad nor that it is good again.
  const silent = now > exposure.last.time + holdSeconds;
  const short = limitOf(watched, 'workroom', 'shortTermPpm') ?? 30_000;
  const day = limitOf(watched, 'workroom', 'workingDayPpm') ?? 5000;
  const last = `the last reading, ${duration(now - exposure.last.time)} ago, is ${ppm(exposure.last.value)}`;
  return [
    air('air-short-term', 'high', silent ? 'between' : upper(means.shortPpm, short), now, () => ({
      evidence: `carbon dioxide over the last 15 min is ${ppm(means.shortPpm)} on average, ${percent(means.shortPpm / short)} of the ${ppm(short)} that may be breathed for 15 min; ${last}.`,
      likelyCauses: causes,
      checkFirst: getOut,
      caution: leaveCaution,
      source: niosh,
    })),
    // Medium: over a working day it tires and harms nobody at once; the ventilation is mended today.
    air('air-working-day', 'medium', silent ? 'between' : upper(means.dayPpm, day), now, () => ({
      evidence: `carbon dioxide over the last 8 h is ${ppm(means.dayPpm)} on average, ${percent(means.dayPpm / day)} of the ${ppm(day)} that may be breathed over a working day; ${last}.`,
      likelyCauses: causes,
      checkFirst: [
        'ventilate, near the floor above all',
        'look for leaks with soapy water at couplings, hoses and cylinders',
        'lead the gas of the fermenters outside',
        'shorten the time that people work in the room',
      ],
      caution: airCaution,
      source: niosh,
    })),
  ];
};

/** Later moments at which a mean may pass its limit though nothing more is heard, soonest first. */
export const breathedDue = (
  watched: Watched,
  exposure: Exposure,
  judgedAt: number,
): readonly number[] => {
  const short = limitOf(watched, 'workroom', 'shortTermPpm') ?? 30_000;
  const day = limitOf(watched, 'workroom', 'workingDayPpm') ?? 5000;
  // A mean passes no limit that nothing in it passes.
  const most = highestPpm(exposure);
  const ends = exposure.last.time + holdSeconds;
  const due: number[] = [];
  const first = (step: number, passes: (time: number) => boolean): void => {
    for (let time = (Math.floor(judgedAt / step) + 1) * step; time <= ends; time += step) {
      if (!passes(time)) continue;
      due.push(time);
      return;
    }
  };
  if (most >= short && meansAt(exposure, judgedAt).shortPpm < short) {
    first(60, (time) => meansAt(exposure, time).shortPpm >= short);
  }
  if (most >= day && meansAt(exposure, judgedAt).dayPpm < day) {
    first(900, (time) => meansAt(exposure, time).dayPpm >= day);
  }
  return due.sort((one, other) => one - other);
};

const upper = (value: number, limit: number): Finding['condition'] =>
  value >= limit ? 'holds' : value < returnShare * limit ? 'clear' : 'between';

const air = (
  kind: AlarmKind,
  priority: Priority,
  condition: Finding['condition'],
  at: number,
  words: () => FindingWords,
): Finding => ({
  kind,
  channel: 'carbon-dioxide',
  condition,
  at,
  priority,
  onDelaySeconds: 0,
  offDelaySeconds,
  words,
});
