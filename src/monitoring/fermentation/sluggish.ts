/**
 * Sluggish: gravity still falls, but from the start more slowly than a drink of its kind should. Told from a stop,
 * which stall.ts judges, and from a pause between sugars, before which the same batch was fast.
 * Pure: no I/O, no clock.
 */
import type { Batch, Drink } from '../batch.ts';
import type { Trend } from '../course/trend.ts';
import type { Finding, FindingWords } from '../finding.ts';
import { celsius, duration, gravity, points } from '../words/spoken.ts';
import type { FermentationMemory } from './fermentation-memory.ts';
import type { FermentationSigns } from './fermentation-signs.ts';

/**
 * Days in which a healthy fermentation brings the distance to its terminal down to a third (1/e), at the slowest,
 * while a quarter or more of the fall is ahead. Chosen by us on simulated fermentations (src/host/simulated) for ale,
 * lager and wine; mead and cider are guessed between them. Fewer days call more healthy batches slow.
 */
const slowestDays: Readonly<Partial<Record<Drink, number>>> = {
  ale: 7,
  lager: 12,
  wine: 8,
  mead: 16,
  cider: 10,
};

/** A batch that was ever this many times faster than the slowest is pausing, not sluggish. Chosen by us. */
const onceFast = 2;

/** Faster than the slowest by this factor is healthy again: the deadband. Chosen by us. */
const healthyAgain = 1.3;

/** Hours before anything is called slow: lag and window lie in them. Chosen by us; fewer blame a long lag. */
const earliestHours = 84;

/** Hours over which the pace is taken. Chosen by us: shorter, and a day's noise decides. */
const windowHours = 52;

/** Shares of the fall between which a pace is judged: before lies the lag, after it the slow end of every batch. */
const fromShare = 0.1;
const toShare = 0.75;

/** Points that must be left. Chosen by us: about twice the error of the expected terminal. */
const leastDistance = 6;

/** Standard errors that the pace must stay under the limit by. Chosen by us. */
const sureErrors = 1.5;

/** Chosen by us: a pause between sugars lasts a day or two, and blames one healthy batch in fifty at 24 h. */
const onDelaySeconds = 36 * 3600;
const offDelaySeconds = 12 * 3600;

type Slowness = {
  readonly trend: Trend;
  /** Points above the expected terminal. */
  readonly distance: number;
  /** Shares of the distance fermented per day, and the least that is healthy. */
  readonly perDay: number;
  readonly leastPerDay: number;
};

/** Null where no pace is usual for the drink, or too little is known to say. */
export const judgeSluggish = (
  batch: Batch,
  signs: FermentationSigns,
  phase: FermentationMemory['phase'],
  now: number,
): Finding | null => {
  const days = slowestDays[batch.drink];
  const { terminal } = signs;
  if (days === undefined || terminal === null) return null;
  const distance = signs.level - terminal.points;
  const share = signs.fallen / Math.max(1, signs.original - terminal.points);
  const said = (condition: Finding['condition'], slow: Slowness | null): Finding => ({
    kind: 'sluggish',
    channel: null,
    condition,
    at: now,
    // Low: it goes on by itself, and what helps it takes days to show.
    priority: 'low',
    onDelaySeconds,
    offDelaySeconds,
    words: () => (slow === null ? overWords(signs, phase) : slowWords(batch, signs, slow)),
  });
  const leastPerDay = 1 / days;
  const wasFast = signs.peakPace * 24 > onceFast * leastPerDay;
  if (phase !== 'active' || wasFast || share > toShare || distance < leastDistance) {
    return said('clear', null);
  }
  const trend = signs.trends.find(({ window }) => window >= windowHours)?.trend;
  if (
    trend === undefined ||
    signs.hour < earliestHours ||
    share < fromShare ||
    signs.course.unsettled
  ) {
    return said('between', null);
  }
  const perDay = (-trend.slope / distance) * 24;
  const most =
    ((-trend.slope + sureErrors * trend.slopeError) / Math.max(1, distance - terminal.sd)) * 24;
  const slow: Slowness = { trend, distance, perDay: Math.max(0, perDay), leastPerDay };
  if (most < leastPerDay) return said('holds', slow);
  return perDay > healthyAgain * leastPerDay ? said('clear', null) : said('between', slow);
};

const percent = (share: number): string => `${Math.round(100 * share)} %`;

const slowWords = (
  batch: Batch,
  { level, offset, temperature }: FermentationSigns,
  { trend, distance, perDay, leastPerDay }: Slowness,
): FindingWords => ({
  evidence:
    `gravity fell ${points(Math.max(0, -trend.slope * trend.spanHours) / 1000)} in ` +
    `${duration(trend.spanHours * 3600)} and stands at ${gravity(1 + (level - offset) / 1000)}, ` +
    `${points(distance / 1000)} above the expected terminal: ${percent(perDay)} of what is left a day, where a ` +
    `healthy ${batch.drink} ferments at least ${percent(leastPerDay)} at this stage.` +
    (perDay > 0.01
      ? ` At this pace half of what is left takes ${duration((Math.LN2 / perDay) * 86_400)}.`
      : '') +
    (temperature === null ? '' : ` Temperature is ${celsius(temperature.now)}.`),
  likelyCauses: [
    'the drink is cooler than the yeast likes',
    'too little yeast was pitched, or it was old',
    'the yeast lacks oxygen from its start, or nitrogen',
    'much sugar, alcohol or acid hinders it',
    'the estimate of terminal gravity is too low, and less is left than it seems',
  ],
  checkFirst: [
    'take a sample by hand, and smell it: a slow drink is open to spoilage',
    "compare the temperature with the band of the yeast, and bring it slowly to the band's upper half",
    'rouse the yeast gently, without letting air in',
    'if the pace has not picked up in two days, plan a fresh pitch of active yeast',
  ],
  caution:
    'A slow drink still holds fermentable extract. Do not close it up before it has finished: it goes on ' +
    'fermenting and can build pressure beyond what a keg or bottle may hold.',
});

const overWords = (
  { level, offset }: FermentationSigns,
  phase: FermentationMemory['phase'],
): FindingWords => ({
  evidence:
    phase === 'stalled'
      ? 'the fermentation has stalled, which is an alarm of its own.'
      : phase === 'finished'
        ? 'the fermentation has finished.'
        : `gravity falls at a usual pace for its stage and stands at ${gravity(1 + (level - offset) / 1000)}.`,
  likelyCauses: [],
  checkFirst: [],
  caution: null,
});
