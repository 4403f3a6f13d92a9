/**
 * The mash rest: its clock counts only while the temperature is inside the band of the rest, since outside it the
 * enzymes work too slowly to count or are destroyed. Without a temperature plain time counts.
 * Pure: no I/O, no clock.
 */
import type { Finding } from '../finding.ts';
import { celsius, duration } from '../words/spoken.ts';
import type { Reading } from './course.ts';
import { bandInForce, limitOf } from './limits.ts';
import { plainFinding, type StageClock, type StageView, scaldCaution } from './stage-view.ts';
import { insideSecondsAt, reachedAt, type TimeInBand } from './time-in-band.ts';

export const restClock = (view: StageView, course: TimeInBand | null): StageClock | null => {
  const wanted = limitOf(view.watched, 'mash-rest', 'restSeconds');
  if (wanted === null) return null;
  return course === null
    ? {
        clock: 'rest',
        doneSeconds: Math.max(0, view.now - view.since),
        ofSeconds: wanted,
        dueAt: view.since + wanted,
      }
    : {
        clock: 'rest',
        doneSeconds: insideSecondsAt(course, view.now),
        ofSeconds: wanted,
        dueAt: reachedAt(course, wanted),
      };
};

/**
 * Medium: a rest that goes on costs some body or an hour, not the batch; but somebody waits for it beside the tun.
 */
export const restOver = (
  view: StageView,
  clock: StageClock,
  course: TimeInBand | null,
  over: boolean,
): Finding =>
  plainFinding('time-reached', over ? 'holds' : 'clear', view.now, 'medium', () => {
    const band = bandInForce(view.watched);
    return {
      evidence:
        course === null || band === null
          ? `the mash has rested for ${duration(clock.doneSeconds)} of ${duration(clock.ofSeconds)}, by the clock alone since no temperature is read here.`
          : `the mash has rested for ${duration(clock.doneSeconds)} of ${duration(clock.ofSeconds)} at ${celsius(band.lowCelsius)} to ${celsius(band.highCelsius)}, counting only the time inside that band; it began ${duration(view.now - view.since)} ago and was last read at ${celsius(course.last.value)}.`,
      likelyCauses: ['the rest has done what it was for'],
      checkFirst: [
        'test for starch with iodine before going on',
        'heat to the next rest or to mash-out, or run off',
        'move the batch to its next stage, so that the next clock begins',
      ],
      caution: scaldCaution,
      source: 'Time in band; 60 min at 65 °C is the reference mash of Rittenauer et al. 2021.',
    };
  });

/** A probe in a hot jet passes sooner than this; an enzyme stands it about as long. Chosen by us. */
const overshootOnDelaySeconds = 120;
/** Below the limit by this much it is over. Chosen by us. */
const overshootDeadbandCelsius = 1;

/** High: enzymes are lost within minutes and do not come back, and whoever heats stands beside it. */
export const overshoot = (view: StageView, { time, value }: Reading): Finding | null => {
  const limit = limitOf(view.watched, 'mash-rest', 'overshootCelsius');
  if (limit === null) return null;
  return {
    kind: 'overshoot',
    channel: null,
    condition:
      value > limit ? 'holds' : value <= limit - overshootDeadbandCelsius ? 'clear' : 'between',
    at: time,
    priority: 'high',
    onDelaySeconds: overshootOnDelaySeconds,
    offDelaySeconds: overshootOnDelaySeconds,
    words: () => ({
      evidence: `the mash is at ${celsius(value)}, against ${celsius(limit)} at the most; the enzymes that make the wort fermentable are destroyed at such heat.`,
      likelyCauses: [
        'the heat was left on, or its set point was changed',
        'the strike liquor was too hot, or too much of it',
        'the mash is not stirred, and the probe sits by the heat',
      ],
      checkFirst: [
        'turn the heat off and stir',
        'measure the temperature with a second thermometer in the middle of the mash',
        'stir in cold liquor to come back into the band',
        'expect a less fermentable wort: correct the estimate of terminal gravity',
      ],
      caution: scaldCaution,
      source:
        'Beta-amylase is most active at 63 °C of 63, 68, 73 and 78 °C (J. Am. Soc. Brew. Chem. 2016); the limit is chosen by us.',
    }),
  };
};
