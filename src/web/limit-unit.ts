/**
 * In which unit a person types a limit: bar for pascal, points for gravity, and of a length of time
 * whatever its default is counted in. Pure: no I/O, no clock.
 */
import type { LimitTemplate } from '../monitoring/stages/stage-templates.ts';
import { limitUnitWords } from './messages.ts';

export type LimitUnit = {
  /** Multiplies what is typed into what is stored. */
  readonly factor: number;
  readonly words: string;
};

const minute = 60;
const hour = 3600;
const day = 86_400;

/** Chosen by us: up to two hours people speak of minutes, up to two days of hours. */
const lengthUnit = (typicalSeconds: number): LimitUnit => {
  if (typicalSeconds < 2 * hour) return { factor: minute, words: limitUnitWords.minutes };
  if (typicalSeconds <= 2 * day) return { factor: hour, words: limitUnitWords.hours };
  return { factor: day, words: limitUnitWords.days };
};

export const limitUnit = ({ unit, value, highest }: LimitTemplate): LimitUnit => {
  switch (unit) {
    case 's':
      return lengthUnit(value ?? highest);
    case 'Pa':
      return { factor: 1e5, words: limitUnitWords.bar };
    case 'SG':
      return { factor: 1e-3, words: limitUnitWords.points };
    case 'fraction':
      return { factor: 0.01, words: '%' };
    case 'volumes':
      return { factor: 1, words: limitUnitWords.volumes };
    default:
      return { factor: 1, words: unit };
  }
};

/** As a person would type it: no more digits than ten, which undoes what binary fractions add. */
export const typedLimit = (value: number, { factor }: LimitUnit): string =>
  String(Number((value / factor).toPrecision(10)));
