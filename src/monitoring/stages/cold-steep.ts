/**
 * The cold steep: its time, and the food-safety clocks of science/steep-clock.ts, which a local rule may tighten.
 * They hold for infusions and what is blended with them, not for drinks that ferment: 21 CFR 114.3 leaves
 * alcoholic beverages out. Pure: no I/O, no clock.
 */
import {
  beginSteep,
  extendSteep,
  type SteepClock,
  type SteepCourse,
  steepLimits,
  steepStands,
} from '../../science/steep-clock.ts';
import type { Finding } from '../finding.ts';
import type { Watched } from '../watched.ts';
import { celsius, duration, trim } from '../words/spoken.ts';
import type { Fold, Reading } from './course.ts';
import { limitOf } from './limits.ts';
import { plainFinding, type StageClock, type StageView } from './stage-view.ts';

/** Warned so long before a limit. Chosen by us: an hour chills a tank or empties it; half a day finds it a use. */
const warmAheadSeconds = 3600;
const coldAheadSeconds = 12 * 3600;

const foodSafetyCaution =
  'What has passed a food-safety limit is to be discarded: neither taste nor smell shows the danger, and cooling it again does not undo it. The local health authority decides which limits bind.';

const source =
  'FDA Food Code 2009, 3-501.16, .17 and .19; 21 CFR 114.3. Which rules bind is for the local health authority to say.';

export const isFoodRuled = ({ batch }: Watched): boolean =>
  batch !== null && (batch.drink === 'infusion' || batch.drink === 'blend');

export const steepFold = (since: number): Fold<SteepCourse> => ({
  begin: ({ time, value }) =>
    beginSteep({ timeSeconds: Math.max(since, time), temperatureCelsius: value }, since),
  extend: (before, { time, value }) =>
    extendSteep(before, {
      timeSeconds: Math.max(before.last.timeSeconds, time),
      temperatureCelsius: value,
    }),
});

const limitsHere = (watched: Watched) => ({
  coldSeconds: limitOf(watched, 'cold-steep', 'coldSeconds') ?? steepLimits.coldSeconds,
  warmSeconds: limitOf(watched, 'cold-steep', 'warmSeconds') ?? steepLimits.warmSeconds,
  coolStartSeconds:
    limitOf(watched, 'cold-steep', 'coolStartSeconds') ?? steepLimits.coolStartSeconds,
});

/** The newest pH since the steep began: of the sensor, or of a sample by hand. */
const newestPH = (view: StageView): Reading | null => {
  const sensed = view.newest('ph');
  const sample = view.batch.samples?.findLast(
    ({ time, ph }) => ph !== null && time >= view.since && time <= view.now,
  );
  const sampled = sample === undefined ? null : { time: sample.time, value: sample.ph ?? 0 };
  return sensed === null || sensed.time < view.since
    ? sampled
    : sampled === null || sensed.time > sampled.time
      ? sensed
      : sampled;
};

/** Where the food-safety clock stands; null where no temperature is read, and then only the seven days count. */
export const safetyStands = (view: StageView, course: SteepCourse | null): SteepClock | null =>
  course === null
    ? null
    : steepStands(
        course,
        view.since,
        Math.max(view.now, course.last.timeSeconds),
        newestPH(view)?.value ?? null,
        limitsHere(view.watched),
      );

/** The limit that comes first if nothing changes, and whether it is the one of a steep that has grown warm. */
type Soonest = { readonly at: number; readonly warm: boolean };

const soonest = (view: StageView, stands: SteepClock | null): Soonest => {
  const coldEnds = view.since + limitsHere(view.watched).coldSeconds;
  if (stands === null) return { at: Math.ceil(coldEnds), warm: false };
  const spent = stands.warmSeconds > stands.warmLimitSeconds;
  return {
    at: spent ? Math.floor(view.now) : Math.ceil(stands.dueAtSeconds),
    warm: spent || stands.dueAtSeconds < coldEnds,
  };
};

export const steepClocks = (view: StageView, stands: SteepClock | null): readonly StageClock[] => {
  const clocks: StageClock[] = [];
  const doneSeconds = Math.max(0, view.now - view.since);
  const wanted = limitOf(view.watched, 'cold-steep', 'steepSeconds');
  if (wanted !== null) {
    clocks.push({ clock: 'steep', doneSeconds, ofSeconds: wanted, dueAt: view.since + wanted });
  }
  if (isFoodRuled(view.watched)) {
    const { at, warm } = soonest(view, stands);
    clocks.push({
      clock: 'food-safety',
      doneSeconds: warm ? (stands?.warmSeconds ?? 0) : doneSeconds,
      ofSeconds: warm ? (stands?.warmLimitSeconds ?? 0) : limitsHere(view.watched).coldSeconds,
      dueAt: at,
    });
  }
  return clocks;
};

/** Unix seconds at which the warning before the limit is due. */
export const aheadAt = (view: StageView, stands: SteepClock | null): number => {
  const { at, warm } = soonest(view, stands);
  return at - (warm ? warmAheadSeconds : coldAheadSeconds);
};

/** Medium: steeping on draws tannin and bitterness over hours; it endangers nobody while it is cold. */
export const steepOver = (view: StageView, clock: StageClock, over: boolean): Finding =>
  plainFinding('time-reached', over ? 'holds' : 'clear', view.now, 'medium', () => ({
    evidence: `the infusion has steeped for ${duration(clock.doneSeconds)} of ${duration(clock.ofSeconds)}.`,
    likelyCauses: ['the steep has done what it was for'],
    checkFirst: [
      'taste it, then strain it off the leaves',
      'keep it at 5 °C or less; its food-safety clock runs on',
      'move the batch to its next stage, or end it',
    ],
    caution: null,
    source: 'Common practice: 12 to 24 h.',
  }));

/** Medium before the limit: it can still be chilled or used. High past it, since somebody may drink it. */
export const foodSafety = (
  view: StageView,
  stands: SteepClock | null,
  over: boolean,
): readonly Finding[] => {
  const ahead = view.now >= aheadAt(view, stands);
  const { at, warm } = soonest(view, stands);
  const course =
    stands === null
      ? 'no temperature is read here, so only its age is known'
      : `it has stood above ${celsius(steepLimits.coldCelsius)} for ${duration(stands.warmSeconds)} in all, of ${duration(stands.warmLimitSeconds)} allowed, and was ${celsius(stands.highestCelsius)} at the warmest`;
  const temperature = view.newest('temperature');
  const lastRead =
    temperature === null
      ? ''
      : ` It was last read ${duration(Math.max(0, view.now - temperature.time))} ago at ${celsius(temperature.value)}, and is taken to have stayed so.`;
  const pH = newestPH(view);
  const acidity = pH === null ? ' Its pH is not known.' : ` Its pH is ${trim(pH.value, 2)}.`;
  const age = `the infusion is ${duration(view.now - view.since)} old; ${course}.${lastRead}${acidity}`;
  return [
    plainFinding(
      'food-safety-ahead',
      over ? 'between' : ahead ? 'holds' : 'clear',
      view.now,
      'medium',
      () => ({
        evidence: ahead
          ? `${age} ${duration(Math.max(0, at - view.now))} are left before it must be discarded.`
          : `${age} ${duration(Math.max(0, at - view.now))} are left if it stays so.`,
        likelyCauses: warm
          ? [
              'cooling has failed, or its set point was changed',
              'it was set warm and chills slowly',
            ]
          : ['it was forgotten, or kept for a later use'],
        checkFirst: warm
          ? [
              'measure its temperature with a second thermometer',
              'chill it to 5 °C or less at once',
              'note how long it was warm: that time is never given back',
            ]
          : ['use it, heat-treat it or discard it before its time is over'],
        caution: foodSafetyCaution,
        source,
      }),
    ),
    plainFinding('food-safety', over ? 'holds' : 'clear', view.now, 'high', () => ({
      evidence: `${age} It is past its limit.`,
      likelyCauses: warm
        ? ['cooling has failed', 'it was set warm and chilled too slowly']
        : ['it was kept longer than seven days, the day of making being the first'],
      checkFirst: [
        'mark the vessel so that nobody serves or blends from it',
        'discard it, unless the local health authority allows otherwise',
        'clean the vessel before the next batch',
      ],
      caution: foodSafetyCaution,
      source,
    })),
  ];
};

/** Below the limit by so much it is sour enough for sure. Chosen by us: twice the error of a strip of paper. */
const deadbandPH = 0.1;

/** Medium while it is warm, when spore formers can grow; low while cold holds them down. */
export const lowAcid = (view: StageView): Finding | null => {
  const limit = limitOf(view.watched, 'cold-steep', 'acidPH') ?? steepLimits.acidPH;
  const pH = newestPH(view);
  if (pH === null) return null;
  const temperature = view.newest('temperature');
  const warm = temperature === null || temperature.value > steepLimits.coldCelsius;
  const condition =
    pH.value > limit ? 'holds' : pH.value <= limit - deadbandPH ? 'clear' : 'between';
  return {
    ...plainFinding('low-acid', condition, view.now, warm ? 'medium' : 'low', () => ({
      evidence: `pH is ${trim(pH.value, 2)}, against ${limit} at the most for an acid food${temperature === null ? '' : `, at ${celsius(temperature.value)}`}.`,
      likelyCauses: [
        'this infusion is not sour by itself',
        'the acid was forgotten or is not mixed in',
        'the pH probe needs calibrating',
      ],
      checkFirst: [
        'measure again with a fresh strip or a calibrated probe',
        'keep it at 5 °C or less without a break',
        'acidify it by recipe, and measure again',
      ],
      caution: foodSafetyCaution,
      source: 'Acid food: pH 4.6 and below, 21 CFR 114.3.',
    })),
    channel: 'ph',
  };
};
