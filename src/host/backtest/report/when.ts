/**
 * Moments as the report writes them: in the zone of the file, named once on the page. Pure: no I/O, no clock.
 */
const dayForm = new Intl.DateTimeFormat('en-GB', {
  day: 'numeric',
  month: 'short',
  timeZone: 'UTC',
});
const dateForm = new Intl.DateTimeFormat('en-GB', {
  day: 'numeric',
  month: 'short',
  year: 'numeric',
  timeZone: 'UTC',
});
const clockForm = new Intl.DateTimeFormat('en-GB', {
  hour: '2-digit',
  minute: '2-digit',
  hourCycle: 'h23',
  timeZone: 'UTC',
});

export type Zone = {
  /** Seconds east of UTC. */
  readonly offsetSeconds: number;
  /** `UTC` or `UTC+01:00`. */
  readonly name: string;
  /** `3 Nov`. */
  readonly day: (timeSeconds: number) => string;
  /** `3 Nov 2026`. */
  readonly date: (timeSeconds: number) => string;
  /** `14:05`. */
  readonly clock: (timeSeconds: number) => string;
  /** `3 Nov, 14:05`. */
  readonly moment: (timeSeconds: number) => string;
};

/** Keeps day and month together at a line's end. */
const joined = (text: string): string => text.replaceAll(' ', '\u00a0');

export const zoneOf = (offsetSeconds: number): Zone => {
  const shifted = (timeSeconds: number): number => (timeSeconds + offsetSeconds) * 1000;
  const day = (timeSeconds: number): string => joined(dayForm.format(shifted(timeSeconds)));
  const clock = (timeSeconds: number): string => clockForm.format(shifted(timeSeconds));
  const minutes = Math.abs(offsetSeconds) / 60;
  const two = (value: number): string => String(Math.floor(value)).padStart(2, '0');
  return {
    offsetSeconds,
    name:
      offsetSeconds === 0
        ? 'UTC'
        : `UTC${offsetSeconds < 0 ? '\u2212' : '+'}${two(minutes / 60)}:${two(minutes % 60)}`,
    day,
    date: (timeSeconds) => joined(dateForm.format(shifted(timeSeconds))),
    clock,
    moment: (timeSeconds) => `${day(timeSeconds)},\u00a0${clock(timeSeconds)}`,
  };
};
