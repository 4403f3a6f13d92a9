/**
 * A vent that does not let gas out: head pressure that rises in a fermenter that was seen vented, or stands above the
 * setting of its relief or spunding valve. Pure: no I/O, no clock.
 */

import { heardIn, middleOf } from '../course/chronicle.ts';
import { median } from '../course/median.ts';
import type { Finding } from '../finding.ts';
import { pressureCaution } from '../pressure/over-pressure.ts';
import { gaugePressure, percent } from '../words/spoken.ts';
import type { Reading } from './course.ts';
import { limitOf } from './limits.ts';
import type { StageView } from './stage-view.ts';

/**
 * A relief valve is fully open 10 % above its setting (ASME and PED practice, from memory). A valve that holds
 * back more does not work, or its setting is noted wrongly.
 */
const reliefShare = 1.1;
const reliefReturnShare = 1.02;

/**
 * A vented vessel stands at the pressure of its hose or airlock: so steady over so long, up to two hours ago, and
 * above zero. Chosen by us; a closed vessel in its lag stands at zero, and then rises without a rest.
 */
const steadyPascal = 4000;
const leastPascal = 1000;
const plateauSeconds = 12 * 3600;
const plateauEndsSeconds = 2 * 3600;
const plateauRows = 10;

/** Back within so much of that pressure the vent is open again, as a share of the rise that is alarmed. Chosen by us. */
const returnRiseShare = 0.4;

/**
 * A stray reading must be confirmed: after so many usual gaps between readings, a lost one waited out. Bounds chosen by
 * us: gas of a lively fermentation fills a small headspace within the hour.
 */
const confirmGaps = 2.6;
const shortestDelaySeconds = 5 * 60;
const longestDelaySeconds = 40 * 60;
const offDelaySeconds = 15 * 60;

/** The pressure, Pa, at which this vessel was seen vented in this stage; null where it was not. */
export const ventedLevel = (before: number | null, view: StageView): number | null => {
  const most = ventedLimit(view);
  if (most === null) return null;
  const until = view.now - plateauEndsSeconds;
  const own = view.rows.filter((row) => middleOf(row) >= view.since);
  const level = own.flatMap((row) => {
    const at = middleOf(row);
    const value = heardIn(row, 'gauge-pressure');
    return value === null || at > until || at < until - plateauSeconds ? [] : [value];
  });
  if (level.length < plateauRows) return before;
  // Where gravity is read it must say that gas is coming: only then does a low pressure show an open vent.
  const fermenting =
    view.phase === 'active' || own.every((row) => heardIn(row, 'gravity') === null);
  const middle = median(level);
  const steady = level.every((value) => Math.abs(value - middle) <= steadyPascal);
  return fermenting && steady && middle >= leastPascal && middle <= most
    ? Math.round(middle)
    : before;
};

const ventedLimit = (view: StageView): number | null =>
  view.stage === 'fermentation' && !view.watched.vessel.gasConnected
    ? limitOf(view.watched, 'fermentation', 'ventedGaugePressurePascal')
    : null;

/** High: a lively fermentation behind a shut vent reaches the rating of its vessel within hours. */
export const judgeVent = (
  view: StageView,
  level: number | null,
  { time, value }: Reading,
): Finding | null => {
  const relief = view.watched.vessel.reliefGaugePressurePascal;
  const common = {
    kind: 'blocked-vent',
    channel: null,
    at: time,
    priority: 'high',
    onDelaySeconds: confirmSeconds(view),
    offDelaySeconds,
  } as const;
  if (relief !== null) {
    return {
      ...common,
      condition:
        value > reliefShare * relief
          ? 'holds'
          : value <= reliefReturnShare * relief
            ? 'clear'
            : 'between',
      words: () => ({
        evidence: `gauge pressure is ${gaugePressure(value)}, ${percent(value / relief)} of the ${gaugePressure(relief)} at which the relief or spunding valve is set to open.`,
        likelyCauses: [
          'the valve is stuck, clogged with foam or hops, or shut off',
          'the valve is set higher than is noted for this vessel',
          'the gauge reads high',
        ],
        checkFirst,
        caution: pressureCaution,
        source: 'A relief valve is fully open 10 % above its setting: ASME practice, from memory.',
      }),
    };
  }
  const rise = ventRise(view);
  if (level === null || rise === null) return null;
  return {
    ...common,
    condition:
      value > level + rise
        ? 'holds'
        : value <= level + returnRiseShare * rise
          ? 'clear'
          : 'between',
    words: () => ({
      evidence: `gauge pressure is ${gaugePressure(value)} in a fermenter whose vent held it steady at ${gaugePressure(level)}.`,
      likelyCauses: [
        'the airlock or the hose is clogged with foam, hops or fruit',
        'the hose is kinked or stands too deep in its bucket',
        'the vent was shut on purpose: note the setting of the spunding valve as the relief setting of the vessel',
      ],
      checkFirst,
      caution: pressureCaution,
      source: 'Head pressure against its own while it was vented; the limit is chosen by us.',
    }),
  };
};

const ventRise = (view: StageView): number | null =>
  view.stage === 'fermentation' ? limitOf(view.watched, 'fermentation', 'ventRisePascal') : null;

const confirmSeconds = ({ usualGap }: StageView): number =>
  Math.min(
    longestDelaySeconds,
    Math.max(shortestDelaySeconds, confirmGaps * (usualGap('gauge-pressure') ?? 900)),
  );

const checkFirst = [
  'stand aside of lid and hose, and read the gauge on the vessel',
  'cool the vessel, which slows the yeast',
  'relieve the pressure slowly through the proper valve, with eye protection',
  'only then clear the vent',
] as const;
