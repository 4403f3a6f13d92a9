/**
 * The boil: its clock counts only while the temperature is near the boiling point at the height of the place.
 * Boiling point: vapour pressure of water after Wagner and Pruss (1993) equal to the air pressure of the standard
 * atmosphere (ISO 2533). Dropped: sugar lifts the boiling point by a few tenths of a degree, which only makes the
 * judgement milder. Pure: no I/O, no clock.
 */
import { standardAtmosphere } from '../../science/gas-law.ts';
import { ambientPressureAtHeight } from '../../science/units/gauge.ts';
import { waterVapourPressureAt } from '../../science/water-vapour.ts';
import type { Finding } from '../finding.ts';
import type { Watched } from '../watched.ts';
import { celsius, duration } from '../words/spoken.ts';
import { limitOf } from './limits.ts';
import { plainFinding, type StageClock, type StageView, scaldCaution } from './stage-view.ts';
import { type Bounds, insideSecondsAt, reachedAt, type TimeInBand } from './time-in-band.ts';

/** Boiling point of water, °C, at an air pressure between those of 4000 m and of 400 m below the sea. */
export const boilingPointAt = (ambientPressurePascal: number): number => {
  let low = 80;
  let high = 105;
  // Forty halvings of 25 °C leave far less than a thousandth of a degree.
  for (let round = 0; round < 40; round += 1) {
    const middle = (low + high) / 2;
    if (waterVapourPressureAt(middle) < ambientPressurePascal) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
};

const boilingPointHere = (watched: Watched): number => {
  const ambient = ambientPressureAtHeight(limitOf(watched, 'boil', 'heightMetre') ?? 0);
  return boilingPointAt(ambient.ok ? ambient.value : standardAtmosphere);
};

/** At this temperature and above the wort counts as boiling; no upper bound, whatever the probe says. */
export const boilingBounds = (watched: Watched): Bounds => ({
  low: boilingPointHere(watched) - (limitOf(watched, 'boil', 'belowBoilingCelsius') ?? 0),
  high: 130,
});

/** A boil that stops for less is a hop addition or a cold spoon. Chosen by us. */
const lullSeconds = 300;

export const boilClocks = (
  view: StageView,
  course: TimeInBand | null,
  over: boolean,
): readonly StageClock[] => {
  const clocks: StageClock[] = [];
  const wanted = limitOf(view.watched, 'boil', 'boilSeconds');
  const plain = Math.max(0, view.now - view.since);
  if (wanted !== null) {
    clocks.push({
      clock: 'boil',
      doneSeconds: course === null ? plain : insideSecondsAt(course, view.now),
      ofSeconds: wanted,
      dueAt: course === null ? view.since + wanted : reachedAt(course, wanted),
    });
  }
  const heatUp = limitOf(view.watched, 'boil', 'heatUpSeconds');
  if (course === null || over) return clocks;
  if (course.wasInside) {
    if (course.outsideSince !== null) {
      clocks.push({
        clock: 'heat-up',
        doneSeconds: Math.max(0, view.now - course.outsideSince),
        ofSeconds: lullSeconds,
        dueAt: Math.ceil(course.outsideSince + lullSeconds),
      });
    }
  } else if (heatUp !== null) {
    clocks.push({
      clock: 'heat-up',
      doneSeconds: plain,
      ofSeconds: heatUp,
      dueAt: view.since + heatUp,
    });
  }
  return clocks;
};

/**
 * Medium: unboiled time is made up by boiling longer, while a wort that is not boiled keeps what the boil drives off.
 */
export const notBoiling = (
  view: StageView,
  course: TimeInBand,
  heatUp: StageClock | null,
): Finding => {
  const holds = heatUp !== null && heatUp.dueAt !== null && view.now >= heatUp.dueAt;
  const condition = holds ? 'holds' : heatUp === null ? 'clear' : 'between';
  const { low } = boilingBounds(view.watched);
  const point = boilingPointHere(view.watched);
  return plainFinding('not-boiling', condition, view.now, 'medium', () => ({
    evidence: holds
      ? `the wort was last read at ${celsius(course.last.value)}, below the ${celsius(low)} that count as boiling where water boils at ${celsius(point)}; ` +
        (course.wasInside
          ? `it has been off the boil for ${duration(heatUp.doneSeconds)} after ${duration(course.insideSeconds)} of boiling.`
          : `it has not boiled in the ${duration(heatUp.doneSeconds)} since the stage began.`)
      : `the wort boils, or its boil is done; it was last read at ${celsius(course.last.value)}.`,
    likelyCauses: [
      'the flame or element is off or too weak, or the fuel is spent',
      'a lid is off in a draught, or cold liquor was added',
      'the probe hangs above the wort, or the height of the place is not noted',
    ],
    checkFirst: [
      'look whether the wort rolls',
      'check the heat',
      'add the time that was lost: the clock counts boiling only',
    ],
    caution: scaldCaution,
    source:
      'Boiling point: Wagner and Pruss 1993 at the air pressure of ISO 2533; the margin is chosen by us.',
  }));
};

/** Medium: a boil that goes on thickens the wort and makes it more bitter; somebody stands beside it. */
export const boilOver = (
  view: StageView,
  clock: StageClock,
  course: TimeInBand | null,
  over: boolean,
): Finding =>
  plainFinding('time-reached', over ? 'holds' : 'clear', view.now, 'medium', () => ({
    evidence:
      `the wort has boiled for ${duration(clock.doneSeconds)} of ${duration(clock.ofSeconds)}` +
      (course === null
        ? ', by the clock alone since no temperature is read here.'
        : `, counting only the time at ${celsius(boilingBounds(view.watched).low)} and above; the stage began ${duration(view.now - view.since)} ago.`),
    likelyCauses: ['the boil has done what it was for'],
    checkFirst: [
      'turn the heat off',
      'measure the gravity and the volume',
      'cool at once and move the batch to its next stage',
    ],
    caution: scaldCaution,
    source: 'Time at the boil; 60 to 90 min is common practice.',
  }));
