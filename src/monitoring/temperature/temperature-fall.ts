/**
 * Temperature that leaves a fermentation at work, for batches to which nobody gave a band: a fall that yeast does not
 * stand and that the end of its own heat does not explain. Where a band is given, temperature-band.ts judges instead.
 * A drink whose gravity stood still before it was cooled is being cooled by its brewer, and is not alarmed.
 * Pure: no I/O, no clock.
 */
import type { Batch } from '../batch.ts';
import type { ChronicleRow } from '../course/chronicle.ts';
import type { FermentationMemory } from '../fermentation/fermentation-memory.ts';
import { gravityCourse } from '../fermentation/gravity-course.ts';
import type { Finding, FindingWords } from '../finding.ts';
import { celsius, duration, points } from '../words/spoken.ts';
import { type TemperatureCourse, temperatureCourse } from './temperature-course.ts';
import { type WorkBefore, workBefore } from './work-before.ts';

/**
 * Degrees below the usual temperature of the last days that raise the alarm. Chosen by us: what a lively fermentation
 * loses at most when its own heat dies down (4.5 °C in the sample of fixtures/bench), and a little. Less alarms on
 * lively batches that calm down; more waits longer in a batch that was pitched cool and grew warm.
 */
const belowUsualCelsius = 5;

/**
 * Degrees below the coldest the batch has been, which no heat that ends can explain. Chosen by us: above what a night
 * and a door left open for two hours take (below 1.7 °C in simulated cases). Less alarms on cold nights, more an hour later.
 */
const belowColdestCelsius = 2;
/** And so much below the usual one, for a batch that is cooled to pitching temperature was never usual. */
const leastFallCelsius = 2.5;

/**
 * Degrees within half a day. Chosen by us: heat that ends takes half a day to lose 2.8 °C in the liveliest of 1,320
 * simulated cases. Less alarms on those, more waits longer.
 */
const inHalfDayCelsius = 3.5;

/** Yesterday was warmer by this at the same time, or it is a night like the last. Chosen by us. */
const sinceYesterdayCelsius = 2;

/** Back when this near to the usual temperature and no colder than ever. Chosen by us: half of what raises. */
const returnCelsius = 2.5;
const returnBelowColdestCelsius = 1;

export const judgeTemperatureFall = (
  batch: Batch,
  rows: readonly ChronicleRow[],
  { phase, shifts, frozen }: Pick<FermentationMemory, 'phase' | 'shifts' | 'frozen'>,
  now: number,
): Finding | null => {
  const course = temperatureCourse(rows, batch.startedAt);
  if (course === null) return null;
  const fallen = course.usual - course.now;
  const below = belowColdest(course);
  // Near the expected end cooling is the brewer's wish.
  const work =
    phase !== 'finished' && hasFallen(course)
      ? workBefore(batch, gravityCourse(rows, batch.startedAt, shifts, frozen), course.fallsSince)
      : null;
  const back = fallen <= returnCelsius && below <= returnBelowColdestCelsius;
  return {
    kind: 'temperature',
    channel: 'temperature',
    condition: work?.atWork ? 'holds' : back || phase === 'finished' ? 'clear' : 'between',
    at: now,
    priority: 'medium',
    onDelaySeconds: 0,
    offDelaySeconds: 0,
    words: () => words(course, work),
  };
};

/** Degrees below the coldest it has been; nothing where that is not known. */
const belowColdest = ({ coldest, now }: TemperatureCourse): number =>
  coldest === null ? 0 : coldest - now;

const hasFallen = (course: TemperatureCourse): boolean => {
  const fallen = course.usual - course.now;
  const { fallenSinceYesterday: sinceYesterday } = course;
  if (sinceYesterday !== null && sinceYesterday < sinceYesterdayCelsius) return false;
  return (
    fallen >= belowUsualCelsius ||
    (fallen >= leastFallCelsius && belowColdest(course) >= belowColdestCelsius) ||
    (course.fallenInHalfDay !== null && course.fallenInHalfDay >= inHalfDayCelsius)
  );
};

const words = (course: TemperatureCourse, work: WorkBefore | null): FindingWords => {
  const { now, usual, fallenInHalfDay } = course;
  if (work === null) {
    return {
      evidence: `temperature is ${celsius(now)}, beside ${celsius(usual)} usual over the last days.`,
      likelyCauses: [],
      checkFirst: [],
      caution: null,
    };
  }
  const below = belowColdest(course);
  return {
    evidence:
      `temperature is ${celsius(now)}, ${celsius(Math.max(0, usual - now))} below the ${celsius(usual)} usual over the last 5 days` +
      `${below > 0 ? ` and ${celsius(below)} below the coldest this batch has been` : ''}` +
      `${fallenInHalfDay !== null && fallenInHalfDay > 1 ? `; it fell ${celsius(fallenInHalfDay)} within half a day` : ''}. ` +
      `Before, gravity was falling by ${points(work.fallPerDay / 1000)} a day, seen over ${duration(work.overHours * 3600)}: ` +
      'the fermentation is unfinished.',
    likelyCauses: [
      'cooling runs without stopping, or its set point was changed',
      'the room has turned cold, or a door stands open',
      'the fermentation has slowed, and its own heat is missing',
    ],
    checkFirst: [
      'measure the temperature with a second thermometer',
      'check the cooling and its set point',
      'bring the temperature back slowly, and watch that fermentation goes on',
      'give the batch a temperature band, so that Gyleward knows what is meant',
    ],
    caution: null,
  };
};
