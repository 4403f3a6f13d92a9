/**
 * Cooling to pitching temperature, and pitching no warmer than that. Pure: no I/O, no clock.
 */
import type { Finding } from '../finding.ts';
import type { Happening } from '../watched.ts';
import { celsius, duration } from '../words/spoken.ts';
import { limitOf } from './limits.ts';
import { plainFinding, type StageClock, type StageView, scaldCaution } from './stage-view.ts';

/** The temperature at or below which yeast may be pitched; null where it is not watched. */
export const pitchCelsius = ({ watched, stage }: StageView): number | null =>
  stage === 'cooling' || stage === 'fermentation' ? limitOf(watched, stage, 'pitchCelsius') : null;

/** Runs until the wort has come down; `cool` says that it has. */
export const coolingClock = (view: StageView, cool: boolean): StageClock | null => {
  const within = limitOf(view.watched, 'cooling', 'withinSeconds');
  if (within === null || pitchCelsius(view) === null || cool) return null;
  return {
    clock: 'cooling',
    doneSeconds: Math.max(0, view.now - view.since),
    ofSeconds: within,
    dueAt: view.since + within,
  };
};

/** Medium: bacteria gain on the yeast by the hour, and cooling can be helped today and not tomorrow. */
export const slowCooling = (view: StageView, clock: StageClock | null, cool: boolean): Finding => {
  const holds = clock !== null && clock.dueAt !== null && view.now >= clock.dueAt;
  const temperature = view.newest('temperature');
  const limit = celsius(pitchCelsius(view) ?? 0);
  return plainFinding(
    'slow-cooling',
    holds ? 'holds' : cool ? 'clear' : 'between',
    view.now,
    'medium',
    () => ({
      evidence: cool
        ? `the wort has come down to ${limit}.`
        : `after ${duration(view.now - view.since)} of cooling ` +
          (temperature === null
            ? `no temperature is known here, and ${limit} was to be reached within ${duration(clock?.ofSeconds ?? 0)}.`
            : `the wort is at ${celsius(temperature.value)}; ${limit} was to be reached within ${duration(clock?.ofSeconds ?? 0)}.`),
      likelyCauses: [
        'the cooling liquor is too warm or too slow',
        'the chiller is scaled or clogged with hops and trub',
        'the wort is not stirred, and layers keep it warm',
      ],
      checkFirst: [
        'check the flow and temperature of the cooling liquor',
        'keep the vessel covered: warm wort without yeast spoils',
        'if it stays warm overnight, boil it again before pitching',
      ],
      caution: scaldCaution,
      source: 'Common practice: wort is cooled within an hour or two.',
    }),
  );
};

export const readyToPitch = (view: StageView, limit: number, value: number): Happening => ({
  kind: 'ready-to-pitch',
  at: view.now,
  words: `The wort is at ${celsius(value)}, at or below the ${celsius(limit)} for pitching, ${duration(view.now - view.since)} after cooling began.`,
});

/** Only a batch that begins to ferment too warm was pitched too warm. Chosen by us: later it is yeast's own heat. */
const pitchedWithinSeconds = 2 * 3600;
/** A hose and a vessel that was just rinsed hot pass sooner. Chosen by us. */
const onDelaySeconds = 600;

/**
 * Medium: yeast above its band dies or makes fusel alcohols within hours; above 40 °C within minutes, and then
 * nothing is lost by looking today. `pitchedCool` says that the batch has been cool enough in this stage.
 */
export const tooWarmToPitch = (view: StageView, pitchedCool: boolean): Finding | null => {
  const limit = pitchCelsius(view);
  const temperature = view.newest('temperature');
  if (limit === null || temperature === null) return null;
  const early = view.now <= view.since + pitchedWithinSeconds;
  return {
    ...plainFinding(
      'too-warm-to-pitch',
      pitchedCool ? 'clear' : early ? 'holds' : 'between',
      view.now,
      'medium',
      () => ({
        evidence: pitchedCool
          ? `temperature is ${celsius(temperature.value)}, and has been at or below the ${celsius(limit)} for pitching.`
          : `fermentation was begun ${duration(view.now - view.since)} ago and temperature is ${celsius(temperature.value)}, ${celsius(temperature.value - limit)} above the ${celsius(limit)} for pitching.`,
        likelyCauses: [
          'the wort was not cooled far enough',
          'the cooling of the vessel is off',
          'the sensor still holds the heat of cleaning',
        ],
        checkFirst: [
          'measure the temperature with a second thermometer',
          'if no yeast is in yet, wait; else cool at once, and slowly below 25 °C',
          'if it was above 40 °C, count the yeast as dead and pitch again when cool',
        ],
        caution: null,
        source:
          'Top fermentation 18 to 25 °C, bottom 6 to 10 °C: H. McGee, On Food and Cooking; else the band of the batch.',
      }),
    ),
    onDelaySeconds,
  };
};
