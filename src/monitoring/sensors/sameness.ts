/**
 * How long a channel has said the very same thing, and how likely that is by chance for this sensor.
 * Constant size. Pure: no I/O, no clock.
 */

export type Sameness = {
  readonly value: number;
  /** Unix seconds of the first and the last reading of the present run. */
  readonly since: number;
  readonly until: number;
  /** Readings in the present run. */
  readonly run: number;
  /** Over finished runs: readings, and how many of them repeated the one before. */
  readonly readings: number;
  readonly repeats: number;
};

/** Takes one reading that is newer than all before. */
export const sameness = (before: Sameness | undefined, value: number, time: number): Sameness => {
  if (before === undefined) {
    return { value, since: time, until: time, run: 1, readings: 0, repeats: 0 };
  }
  if (value === before.value) return { ...before, until: time, run: before.run + 1 };
  return {
    value,
    since: time,
    until: time,
    run: 1,
    readings: before.readings + before.run,
    repeats: before.repeats + before.run - 1,
  };
};

/**
 * Takes one reading that is older than the newest. The same value within the present run is one reading more of it;
 * another value shows that the run began later, and of the readings since only the newest is sure to belong to it.
 */
export const samenessWithLate = (before: Sameness, value: number, time: number): Sameness => {
  if (time <= before.since) return before;
  if (value === before.value) return { ...before, run: before.run + 1 };
  return {
    ...before,
    since: time,
    run: 1,
    readings: before.readings + before.run,
    repeats: before.repeats + Math.max(0, before.run - 2),
  };
};

/**
 * The logarithm to base 10 of the chance that a sensor at work repeats itself so often in a row, taking one
 * reading as independent of the next. At least one in ten repeats is assumed whatever has been seen, since a
 * drink at rest moves less than one at work. Assumption.
 */
export const chanceOfRun = ({ run, readings, repeats }: Sameness): number => {
  const share = Math.max(0.1, (repeats + 1) / (readings + 2));
  return (run - 1) * Math.log10(Math.min(0.999, share));
};
