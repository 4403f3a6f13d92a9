/**
 * The food-safety clocks of a cold steep: how long an unpreserved infusion may stand.
 *
 * Source: FDA Food Code 2009, for food that needs time and temperature control, as states adopted it:
 * - 3-501.16: cold holding at 5 °C or less (WAC 246-215-03525);
 * - 3-501.17: at most 7 days at 5 °C or less, the day of preparation being day 1 (Minn. Rules 4626.0400):
 *   counted here as 6 x 24 h from the start, the careful end, as the time of day is not known;
 * - 3-501.19: without temperature control 4 h, or 6 h if it began at 5 °C or less and never passed 21 °C
 *   (Wisconsin Food Code). Time above 5 °C is added up and never given back, the careful reading.
 * pH 4.6 and below is an acid food (21 CFR 114.3), which keeps the spore formers down; it does not stop
 * moulds, yeasts or acid-tolerant bacteria, and no clock here is lengthened for it. Whether a cold steep
 * falls under these rules is for the local health authority to say.
 * Temperature between two readings is a straight line; after the last it is taken to stay.
 * Pure: no I/O, no clock (`now` is an argument), no randomness.
 */
import { fail, ok, type Result } from '../result.ts';
import { firstOutside, type ScienceFault } from './fault.ts';

export const steepLimits = {
  coldCelsius: 5,
  warmCelsius: 21,
  acidPH: 4.6,
  coldSeconds: 6 * 86_400,
  warmSeconds: 4 * 3600,
  coolStartSeconds: 6 * 3600,
} as const;

export type SteepReading = { readonly timeSeconds: number; readonly temperatureCelsius: number };

export type SteepInput = {
  readonly startedAtSeconds: number;
  readonly nowSeconds: number;
  /** In order of time; the first at or after the start. */
  readonly readings: readonly SteepReading[];
  readonly pH: number | null;
};

export type SteepClock = {
  /** cold: held; out-of-cold: above 5 °C, its clock running; over: past a limit, discard. */
  readonly kind: 'cold' | 'out-of-cold' | 'over';
  /** Time spent above 5 °C in all. */
  readonly warmSeconds: number;
  /** 4 h or 6 h, whichever the course allows. */
  readonly warmLimitSeconds: number;
  readonly highestCelsius: number;
  readonly coldEndsAtSeconds: number;
  /** When the first limit falls due if the temperature stays as it is. */
  readonly dueAtSeconds: number;
  /** Null where no pH is known. */
  readonly acid: boolean | null;
  readonly words: string;
};

/** Seconds of a straight course that lie above a temperature. */
const secondsAbove = (from: SteepReading, to: SteepReading, celsius: number): number => {
  const span = to.timeSeconds - from.timeSeconds;
  const start = from.temperatureCelsius - celsius;
  const end = to.temperatureCelsius - celsius;
  if (start <= 0 && end <= 0) return 0;
  if (start > 0 && end > 0) return span;
  return (span * Math.max(start, end)) / Math.abs(end - start);
};

const hours = (seconds: number): string => `${(seconds / 3600).toFixed(1)} h`;

const wordsFor = (clock: Omit<SteepClock, 'words'>, nowSeconds: number): string => {
  const acidity =
    clock.acid === null
      ? 'Its pH is not known: measure it.'
      : clock.acid
        ? `Its pH is at or below ${steepLimits.acidPH}, an acid food; the limits stand all the same.`
        : `Its pH is above ${steepLimits.acidPH}: dangerous bacteria can grow in it when warm.`;
  const rule = 'The local health authority decides which limits bind.';
  switch (clock.kind) {
    case 'over':
      return `Past its limit: ${hours(clock.warmSeconds)} above 5 °C of ${hours(clock.warmLimitSeconds)} allowed, or older than seven days. Discard it. ${acidity} ${rule}`;
    case 'out-of-cold':
      return `Above 5 °C for ${hours(clock.warmSeconds)} in all; ${hours(clock.dueAtSeconds - nowSeconds)} left before it must be discarded. Chill it at once. ${acidity} ${rule}`;
    case 'cold':
      return `Held at 5 °C or less; ${hours(clock.dueAtSeconds - nowSeconds)} left of its seven days, the day it was made being the first. ${acidity} ${rule}`;
  }
};

/** The temperatures of a steep so far, in the little that its clock needs: constant in size. */
export type SteepCourse = {
  readonly last: SteepReading;
  readonly beganCold: boolean;
  readonly highestCelsius: number;
  readonly warmSeconds: number;
};

/** The limits that a local rule may tighten. */
export type SteepLimits = {
  readonly coldSeconds: number;
  readonly warmSeconds: number;
  readonly coolStartSeconds: number;
};

/** Before its first reading a steep is taken to have stood at that temperature. */
export const beginSteep = (first: SteepReading, startedAtSeconds: number): SteepCourse =>
  extendSteep(
    {
      last: { ...first, timeSeconds: startedAtSeconds },
      beganCold: first.temperatureCelsius <= steepLimits.coldCelsius,
      highestCelsius: first.temperatureCelsius,
      warmSeconds: 0,
    },
    first,
  );

/** Takes the next reading in order of time. The caller has checked the range and the order. */
export const extendSteep = (course: SteepCourse, reading: SteepReading): SteepCourse => ({
  last: reading,
  beganCold: course.beganCold,
  highestCelsius: Math.max(course.highestCelsius, reading.temperatureCelsius),
  warmSeconds: course.warmSeconds + secondsAbove(course.last, reading, steepLimits.coldCelsius),
});

/** Where a course stands at a moment not before its last reading, whose temperature is taken to stay. */
export const steepStands = (
  course: SteepCourse,
  startedAtSeconds: number,
  nowSeconds: number,
  pH: number | null,
  limits: SteepLimits = steepLimits,
): SteepClock => {
  const { last, highestCelsius } = course;
  const { warmSeconds } = extendSteep(course, { ...last, timeSeconds: nowSeconds });
  const warmLimitSeconds =
    course.beganCold && highestCelsius <= steepLimits.warmCelsius
      ? limits.coolStartSeconds
      : limits.warmSeconds;
  const coldEndsAtSeconds = startedAtSeconds + limits.coldSeconds;
  const warmNow = last.temperatureCelsius > steepLimits.coldCelsius;
  const warmDue = nowSeconds + warmLimitSeconds - warmSeconds;
  const over = warmSeconds > warmLimitSeconds || nowSeconds > coldEndsAtSeconds;
  const clock = {
    kind: over ? 'over' : warmNow ? 'out-of-cold' : 'cold',
    warmSeconds,
    warmLimitSeconds,
    highestCelsius,
    coldEndsAtSeconds,
    dueAtSeconds: warmNow ? Math.min(coldEndsAtSeconds, warmDue) : coldEndsAtSeconds,
    acid: pH === null ? null : pH <= steepLimits.acidPH,
  } as const;
  return { ...clock, words: wordsFor(clock, nowSeconds) };
};

/** Where a cold steep stands against its limits. */
export const steepClock = (input: SteepInput): Result<SteepClock, ScienceFault> => {
  const first = input.readings[0];
  if (first === undefined) {
    return fail({
      kind: 'no-solution',
      field: 'readings',
      reason: 'there is no temperature reading; take one before the clock can judge',
    });
  }
  const fault = firstOutside([
    ['startedAtSeconds', input.startedAtSeconds, 0, 1e11, 's'],
    ['nowSeconds', input.nowSeconds, input.startedAtSeconds, input.startedAtSeconds + 1e8, 's'],
    ['pH', input.pH ?? 7, 0, 14, 'pH'],
    ...input.readings.map(
      ({ temperatureCelsius }) =>
        ['temperatureCelsius', temperatureCelsius, -10, 110, '°C'] as const,
    ),
    ...input.readings.map(
      ({ timeSeconds }, index) =>
        [
          'timeSeconds',
          timeSeconds,
          input.readings[index - 1]?.timeSeconds ?? input.startedAtSeconds,
          input.nowSeconds,
          's',
        ] as const,
    ),
  ]);
  if (fault) return fail(fault);

  const [, ...later] = input.readings;
  const course = later.reduce(extendSteep, beginSteep(first, input.startedAtSeconds));
  return ok(steepStands(course, input.startedAtSeconds, input.nowSeconds, input.pH));
};
