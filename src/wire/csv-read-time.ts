/**
 * The time of a row of CSV as Unix seconds: ISO 8601 date and time of day in the extended form, with a T or a blank
 * between them, with a zone or without, to the minute or finer. A time without a zone is read in the zone that the
 * caller names. Nothing else is guessed: an order of day and month, or midnight for a bare date, is refused.
 * Pure: no I/O, no clock, and no Date, which the lint rule keeps out of this layer.
 */
import { fail, ok, type Result } from '../result.ts';

export type CsvTime = {
  /** Unix seconds. */
  readonly timeSeconds: number;
  /** Offset from UTC that the text itself names; null where it names none. */
  readonly zoneOffsetSeconds: number | null;
};

export type CsvTimeFault =
  | { readonly kind: 'not-a-time' }
  | { readonly kind: 'date-alone' }
  | { readonly kind: 'time-of-day-alone' }
  | { readonly kind: 'day-and-month-unclear' }
  /** Written as a time, but no such day or moment is in the calendar. */
  | { readonly kind: 'not-in-calendar' };

const moment =
  /^(\d{4})-(\d{2})-(\d{2})[T ](\d{2}):(\d{2})(?::(\d{2})(?:[.,](\d{1,9}))?)?\s?(Z|[+-]\d{2}(?::?\d{2})?)?$/i;

export const csvTime = (
  text: string,
  /** Offset of local time from UTC where the text has none. */
  assumedOffsetSeconds: number,
): Result<CsvTime, CsvTimeFault> => {
  const found = moment.exec(text.replace('\u2212', '-'));
  if (found === null) return fail({ kind: whyNot(text) });
  const [, year, month, day, hour, minute, second = '0', fraction = '0', zone] = found;
  const days = dayOf(Number(year), Number(month), Number(day));
  const offset = zone === undefined ? assumedOffsetSeconds : zoneOffset(zone);
  const [hours, minutes, seconds] = [Number(hour), Number(minute), Number(second)];
  if (days === null || offset === null || hours > 23 || minutes > 59 || seconds > 59) {
    return fail({ kind: 'not-in-calendar' });
  }
  const clock = hours * 3600 + minutes * 60 + seconds + Number(`0.${fraction}`);
  return ok({
    timeSeconds: days * secondsPerDay + clock - offset,
    zoneOffsetSeconds: zone === undefined ? null : offset,
  });
};

/** Seconds east of UTC of "Z", "+01:00", "+0100" or "-05"; null where there is no such offset. */
export const zoneOffset = (text: string): number | null => {
  if (/^Z$/i.test(text)) return 0;
  const found = /^([+-])(\d{2}):?(\d{2})?$/.exec(text.replace('\u2212', '-'));
  if (found === null) return null;
  const hours = Number(found[2]);
  const minutes = Number(found[3] ?? '0');
  // Zones reach from -12:00 to +14:00 (IANA time zone database).
  if (minutes > 59 || hours + minutes / 60 > 14) return null;
  return (found[1] === '-' ? -1 : 1) * (hours * 3600 + minutes * 60);
};

const secondsPerDay = 86_400;

const whyNot = (text: string): CsvTimeFault['kind'] => {
  if (/^\d{4}-\d{2}-\d{2}$/.test(text)) return 'date-alone';
  if (/^\d{1,2}:\d{2}(:\d{2})?(\s?[ap]m)?$/i.test(text)) return 'time-of-day-alone';
  if (/^\d{1,2}[./-]\d{1,2}[./-]\d{2,4}\b/.test(text)) return 'day-and-month-unclear';
  return 'not-a-time';
};

/**
 * Day counted from 1970-01-01 of a proleptic Gregorian date, by H. Hinnant, "chrono-compatible low-level date
 * algorithms" (2013), days_from_civil; null where the calendar has no such day.
 */
const dayOf = (year: number, month: number, day: number): number | null => {
  const leap = (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
  const last = month === 2 ? (leap ? 29 : 28) : [4, 6, 9, 11].includes(month) ? 30 : 31;
  if (month < 1 || month > 12 || day < 1 || day > last) return null;
  const shifted = month <= 2 ? year - 1 : year;
  const era = Math.floor(shifted / 400);
  const yearOfEra = shifted - era * 400;
  const monthFromMarch = month > 2 ? month - 3 : month + 9;
  const dayOfYear = Math.floor((153 * monthFromMarch + 2) / 5) + day - 1;
  const dayOfEra =
    yearOfEra * 365 + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100) + dayOfYear;
  return era * 146_097 + dayOfEra - 719_468;
};
