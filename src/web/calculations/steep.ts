/** The food-safety clock of a cold steep, from the hours it has stood and the temperatures read. */
import { ok } from '../../result.ts';
import { steepClock } from '../../science/steep-clock.ts';
import { calculation } from './calculation.ts';
import { celsius } from './drink-fields.ts';
import { given, ifKnown, rows } from './field.ts';
import { located, type Place } from './located.ts';
import { foodCode } from './source.ts';

const secondsPerHour = 3600;
const toHours = (seconds: number): number => seconds / secondsPerHour;
const inHours = (field: string): Place => ({ field, unit: 'h', read: toHours });

export const steep = calculation({
  name: 'steep-clock',
  title: 'Clock of a cold steep',
  purpose: 'How long an unpreserved infusion may still stand, from its temperatures so far.',
  caution:
    'An infusion that stood too warm can make people ill without smelling or tasting of it. The local health authority decides which limits bind; when in doubt, discard it.',
  inputs: {
    standingHours: given({
      label: 'Time it has stood',
      unit: 'h',
      hint: 'From the moment that water and leaves met.',
      example: 14,
    }),
    pH: ifKnown({ label: 'pH', unit: '', example: 5.2 }),
    readings: rows({
      label: 'Temperatures read',
      each: 'Reading',
      hint: 'In order of time. Leave a row blank if there is none.',
      least: 1,
      most: 100,
      offered: 6,
      fields: {
        afterHours: given({ label: 'Time since the start', unit: 'h', example: 0 }),
        temperatureCelsius: given({ label: 'Temperature', ...celsius, example: 4 }),
      },
      example: [
        { afterHours: 0, temperatureCelsius: 4 },
        { afterHours: 9, temperatureCelsius: 4.5 },
        { afterHours: 12, temperatureCelsius: 9 },
        { afterHours: 14, temperatureCelsius: 4 },
      ],
    }),
  },
  answers: {
    verdict: {
      kind: 'verdict',
      label: 'Verdict',
      verdicts: {
        cold: { title: 'Held cold', rank: 'plain' },
        'out-of-cold': { title: 'Out of the cold', rank: 'medium' },
        over: { title: 'Past its limit', rank: 'high' },
      },
      sources: [foodCode],
    },
    leftHours: {
      kind: 'number',
      label: 'Left until a limit, as it stands',
      unit: 'h',
      decimals: 1,
      sources: [foodCode],
    },
    warmHours: {
      kind: 'number',
      label: 'Above 5 °C so far',
      unit: 'h',
      decimals: 1,
      sources: [foodCode],
    },
    warmLimitHours: {
      kind: 'number',
      label: 'Allowed above 5 °C',
      unit: 'h',
      decimals: 0,
      sources: [foodCode],
    },
    highestCelsius: {
      kind: 'number',
      label: 'Warmest so far',
      ...celsius,
      decimals: 1,
      sources: [foodCode],
    },
  },
  work: ({ standingHours, pH, readings }) => {
    const nowSeconds = standingHours * secondsPerHour;
    const clock = steepClock({
      startedAtSeconds: 0,
      nowSeconds,
      readings: readings.map(({ afterHours, temperatureCelsius }) => ({
        timeSeconds: afterHours * secondsPerHour,
        temperatureCelsius,
      })),
      pH,
    });
    if (!clock.ok) {
      const { fault } = clock;
      const at =
        fault.kind === 'outside-range'
          ? readings.findIndex((one) =>
              fault.field === 'timeSeconds'
                ? one.afterHours * secondsPerHour === fault.value
                : one.temperatureCelsius === fault.value,
            )
          : -1;
      const row = at < 0 ? 'readings' : `readings.${at}`;
      return located(clock, {
        nowSeconds: inHours('standingHours'),
        timeSeconds: inHours(at < 0 ? row : `${row}.afterHours`),
        temperatureCelsius: at < 0 ? row : `${row}.temperatureCelsius`,
      });
    }
    const { value } = clock;
    return ok({
      verdict: { kind: value.kind, words: value.words },
      leftHours: Math.max(0, toHours(value.dueAtSeconds - nowSeconds)),
      warmHours: toHours(value.warmSeconds),
      warmLimitHours: toHours(value.warmLimitSeconds),
      highestCelsius: value.highestCelsius,
    });
  },
});
