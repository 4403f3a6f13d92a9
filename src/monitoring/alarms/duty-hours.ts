/**
 * Hours on the local clock of a place: whether a moment lies within them, and when they next begin. The zone
 * is a name of the IANA time zone database; how its clock stands is what the platform's copy of it says,
 * summer time included. Hours that end before they begin run past midnight and count to the day on which they
 * began; hours that end when they begin are whole days. Pure: no clock, no I/O.
 */

export const weekdays = [
  'monday',
  'tuesday',
  'wednesday',
  'thursday',
  'friday',
  'saturday',
  'sunday',
] as const;

export type Weekday = (typeof weekdays)[number];

export type DutyHours = {
  readonly zone: string;
  /** "HH:MM" on the local clock. */
  readonly from: string;
  readonly to: string;
  /** Days on which the hours begin; at least one. */
  readonly days: readonly Weekday[];
};

const minutesOfDay = 1440;
const minutesOfWeek = 7 * minutesOfDay;

const formats = new Map<string, Intl.DateTimeFormat>();

/** Throws a RangeError for a name that is none. */
const formatOf = (zone: string): Intl.DateTimeFormat => {
  const known = formats.get(zone);
  if (known !== undefined) return known;
  const format = new Intl.DateTimeFormat('en-GB', {
    timeZone: zone,
    weekday: 'long',
    hour: '2-digit',
    minute: '2-digit',
    hourCycle: 'h23',
  });
  formats.set(zone, format);
  return format;
};

/** Names such as "Europe/London"; an offset such as "+01:00" knows no summer time and is none. */
export const isZone = (name: string): boolean => {
  if (!/^[A-Za-z][\w+-]*(\/[A-Za-z][\w+-]*)*$/.test(name)) return false;
  try {
    formatOf(name);
    return true;
  } catch {
    return false;
  }
};

/** Minutes on the local clock since Monday began. */
const minuteOfWeek = (zone: string, at: number): number => {
  const parts = new Map(
    formatOf(zone)
      .formatToParts(at * 1000)
      .map(({ type, value }) => [type, value]),
  );
  const day = weekdays.indexOf((parts.get('weekday') ?? '').toLowerCase() as Weekday);
  return day * minutesOfDay + Number(parts.get('hour')) * 60 + Number(parts.get('minute'));
};

const minuteOfDay = (text: string): number =>
  Number(text.slice(0, 2)) * 60 + Number(text.slice(3, 5));

const begins = ({ days }: DutyHours, day: number): boolean =>
  weekdays.some((name, index) => index === (day + 7) % 7 && days.includes(name));

export const withinHours = (hours: DutyHours, at: number): boolean => {
  const [from, to] = [minuteOfDay(hours.from), minuteOfDay(hours.to)];
  const present = minuteOfWeek(hours.zone, at);
  const day = Math.floor(present / minutesOfDay);
  const minute = present % minutesOfDay;
  if (from < to) return minute >= from && minute < to && begins(hours, day);
  return (minute >= from && begins(hours, day)) || (minute < to && begins(hours, day - 1));
};

/** Four hours: longer than any change of a clock. */
const scannedMinutes = 240;

const firstWithin = (hours: DutyHours, from: number): number | null => {
  for (let minute = 0; minute <= scannedMinutes; minute += 1)
    if (withinHours(hours, from + minute * 60)) return from + minute * 60;
  return null;
};

const clockChangesAfter = (zone: string, at: number): boolean =>
  (minuteOfWeek(zone, at + scannedMinutes * 60) -
    minuteOfWeek(zone, at) -
    scannedMinutes +
    minutesOfWeek) %
    minutesOfWeek !==
  0;

/** The first moment from `at` on that lies within the hours: `at` itself, or a whole minute. */
export const nextWithinHours = (hours: DutyHours, at: number): number => {
  if (withinHours(hours, at)) return at;
  const start = Math.ceil(at / 60) * 60;
  if (clockChangesAfter(hours.zone, start)) {
    const soon = firstWithin(hours, start);
    if (soon !== null) return soon;
  }
  const present = minuteOfWeek(hours.zone, start);
  const from = minuteOfDay(hours.from);
  const waits = weekdays
    .filter((day) => hours.days.includes(day))
    .map((day) => weekdays.indexOf(day) * minutesOfDay + from)
    .map((opening) => (opening - present + minutesOfWeek) % minutesOfWeek);
  const guess = start + Math.min(...waits) * 60;
  // A change of the clock on the way moves the opening by less than what is scanned on either side.
  const early = Math.max(start, guess - (scannedMinutes / 2) * 60);
  return firstWithin(hours, early) ?? guess;
};
