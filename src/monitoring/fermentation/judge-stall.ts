/**
 * The stall alarm: the pace of a fermentation as a finding, with the numbers a brewer can check.
 * Pure: no I/O, no clock.
 */
import type { Batch } from '../batch.ts';
import type { Finding, FindingWords } from '../finding.ts';
import { celsius, duration, gravity, points } from '../words/spoken.ts';
import { foretold } from './fermentation-fit.ts';
import type { FermentationMemory, Outlook } from './fermentation-memory.ts';
import type { FermentationSigns } from './fermentation-signs.ts';
import type { Pace } from './stall.ts';

/**
 * How long the fall must last before the stall counts as over. Chosen by us: noise makes a gravity that
 * stands still look like a slow fall for an hour or two, and less than six hours raises one stall again
 * and again. A longer delay keeps the alarm standing after the yeast is at work.
 */
const offDelaySeconds = 6 * 3600;

export const judgeStall = (
  batch: Batch,
  signs: FermentationSigns,
  judged: Pace,
  phase: FermentationMemory['phase'],
  outlook: Outlook | null,
  now: number,
): Finding => ({
  kind: 'stall',
  channel: null,
  condition: phase === 'stalled' ? 'holds' : phase === 'active' ? 'clear' : 'between',
  at: now,
  // Medium: a stalled batch is saved by warming or rousing it within a day or two, not at three in the morning.
  priority: 'medium',
  onDelaySeconds: 0,
  offDelaySeconds,
  words: () => words(batch, signs, judged, outlook),
});

const words = (
  batch: Batch,
  signs: FermentationSigns,
  judged: Pace,
  outlook: Outlook | null,
): FindingWords => {
  const { trend, window, cause } = judged;
  if (judged.verdict !== 'stopped' || trend === null) {
    return {
      evidence: `gravity falls again and stands at ${gravity(1 + (signs.level - signs.offset) / 1000)}.`,
      likelyCauses: [],
      checkFirst: [],
      caution: null,
    };
  }
  if (cause === 'never-began') {
    return {
      evidence:
        `gravity has fallen ${points(signs.fallen / 1000)} in the ${duration(signs.hour * 3600)} since the batch began, ` +
        `and stands still at ${gravity(1 + (signs.level - signs.offset) / 1000)}.`,
      likelyCauses: [
        'the yeast is dead, or was pitched too thin, too cold or too hot',
        'the drink is outside the band of the yeast',
        'the sensor is stuck or lies above the liquid',
      ],
      checkFirst: [
        'take a sample by hand, and smell it',
        'bring the temperature into the band of the yeast, and aerate only before fermentation begins',
        'pitch fresh active yeast soon: a sweet drink that stands open to others spoils',
      ],
      caution: null,
    };
  }
  const until = batch.startedAt + signs.hour * 3600;
  const from = until - trend.spanHours * 3600;
  const fell = Math.max(0, -trend.slope * trend.spanHours);
  // The curve fitted while the batch was at work, or else its own best pace halved.
  const wanted =
    (outlook === null ? null : foretold(outlook, from, until)) ??
    judged.distance * (1 - Math.exp(-0.5 * signs.peakPace * trend.spanHours));
  const temperature = signs.temperature;
  return {
    evidence:
      `gravity fell ${points(fell / 1000)} in ${duration(trend.spanHours * 3600)} where the curve expects ` +
      `${points(Math.max(0, wanted) / 1000)}; it stands at ${gravity(1 + (signs.level - signs.offset) / 1000)}, ` +
      `${points(judged.distance / 1000)} above the expected terminal.` +
      (temperature !== null && cause === 'cold'
        ? ` Temperature has fallen by ${celsius(temperature.fallenBy)} to ${celsius(temperature.now)}.`
        : temperature !== null && cause === 'hot'
          ? ` Temperature is ${celsius(temperature.now)}, hot for yeast.`
          : '') +
      (signs.gasShare === null
        ? ''
        : ` Gas is at ${Math.round(100 * Math.max(0, signs.gasShare))} % of its peak.`) +
      (signs.course.by === 'sensor' && window > 48
        ? ' Readings are sparse, so this took longer to tell.'
        : ''),
    likelyCauses:
      cause === 'cold'
        ? ['the drink has become too cold for the yeast, which settles out', ...generalCauses]
        : cause === 'hot'
          ? ['heat and alcohol together have harmed the yeast', ...generalCauses]
          : generalCauses,
    checkFirst: [
      signs.course.by === 'hand'
        ? 'take another sample, well mixed and free of gas, to be sure of the stop'
        : 'take a sample by hand: if it has fallen, the sensor is at fault and not the yeast',
      cause === 'hot'
        ? 'cool slowly into the band of the yeast'
        : 'bring the temperature slowly into the band of the yeast, and rouse it',
      'compare with a forced ferment, to know how much is left',
      'if nothing moves within a day, plan a fresh pitch of active yeast',
    ],
    caution:
      'A stalled drink still holds fermentable extract. Do not close it up: it can restart and build pressure ' +
      'beyond what a keg or bottle may hold.',
  };
};

const generalCauses = [
  'the yeast has run out of nutrients or oxygen, or was pitched too thin',
  'the yeast has settled early',
  'the alcohol is near what this yeast can bear',
  'the estimate of terminal gravity is too low, and the drink has finished',
] as const;
