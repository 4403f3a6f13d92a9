/**
 * A Unix time as RFC 3339 text in UTC: `2026-11-01T06:00:00Z`, with milliseconds where there are
 * any. Pure: no I/O, no clock, and no Date, which the lint rule keeps out of this layer.
 */

const secondsPerDay = 86_400;

/** Years 0000 to 9999, which is what RFC 3339 section 5.6 can write. */
const firstTime = -62_167_219_200;
const endTime = 253_402_300_800;

const digits = (value: number, width: number): string => String(value).padStart(width, '0');

/**
 * Proleptic Gregorian date of a day counted from 1970-01-01, by H. Hinnant, "chrono-compatible
 * low-level date algorithms" (2013), civil_from_days. It counts in eras of 400 years (146 097 days)
 * whose years begin on 1 March. Day counts from -719 528 to 2 932 896 occur here.
 */
const civilDate = (day: number): string => {
  const shifted = day + 719_468;
  const era = Math.floor(shifted / 146_097);
  const dayOfEra = shifted - era * 146_097;
  const yearOfEra = Math.floor(
    (dayOfEra -
      Math.floor(dayOfEra / 1460) +
      Math.floor(dayOfEra / 36_524) -
      Math.floor(dayOfEra / 146_096)) /
      365,
  );
  const dayOfYear =
    dayOfEra - (365 * yearOfEra + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100));
  const monthFromMarch = Math.floor((5 * dayOfYear + 2) / 153);
  const dayOfMonth = dayOfYear - Math.floor((153 * monthFromMarch + 2) / 5) + 1;
  const month = monthFromMarch < 10 ? monthFromMarch + 3 : monthFromMarch - 9;
  const year = yearOfEra + era * 400 + (month <= 2 ? 1 : 0);
  return `${digits(year, 4)}-${digits(month, 2)}-${digits(dayOfMonth, 2)}`;
};

/** Null where the time is not a finite number or outside the years 0000 to 9999. */
export const rfc3339 = (timeSeconds: number): string | null => {
  const milliseconds = Math.round(timeSeconds * 1000);
  const seconds = Math.floor(milliseconds / 1000);
  if (!(seconds >= firstTime && seconds < endTime)) return null;
  const day = Math.floor(seconds / secondsPerDay);
  const second = seconds - day * secondsPerDay;
  const clock = [Math.floor(second / 3600), Math.floor(second / 60) % 60, second % 60]
    .map((part) => digits(part, 2))
    .join(':');
  const fraction = milliseconds - seconds * 1000;
  return `${civilDate(day)}T${clock}${fraction === 0 ? '' : `.${digits(fraction, 3)}`}Z`;
};
