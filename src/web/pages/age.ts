/**
 * How long ago, in words coarse enough that they change once a minute at most, so that an unchanged
 * page keeps its ETag between polls. Pure: no I/O, no clock.
 */
import { ageWords } from '../messages.ts';

/** A reading stamped ahead of the clock by more than this is called so; chosen by us for loose clocks. */
const clockSlackSeconds = 120;

export const ageText = (ageSeconds: number): string => {
  if (ageSeconds < -clockSlackSeconds) return ageWords.future;
  if (ageSeconds < 60) return ageWords.now;
  if (ageSeconds < 3600) return ageWords.minutes(Math.floor(ageSeconds / 60));
  if (ageSeconds < 48 * 3600) return ageWords.hours(Math.floor(ageSeconds / 3600));
  return ageWords.days(Math.floor(ageSeconds / 86_400));
};
