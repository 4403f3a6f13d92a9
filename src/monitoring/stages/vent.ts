/**
 * A vent that does not let gas out: head pressure that rises in a fermenter that was seen vented, or stands above the
 * setting of its relief or spunding valve. Pure: no I/O, no clock.
 */
import type { Finding } from '../finding.ts';
import { pressureCaution } from '../over-pressure.ts';
import { duration, gaugePressure, percent } from '../spoken.ts';
import type { Reading } from './course.ts';
import { limitOf } from './limits.ts';
import type { StageView } from './stage-view.ts';

/**
 * A relief valve is fully open 10 % above its setting (ASME and PED practice, from memory). A valve that holds
 * back more does not work, or its setting is noted wrongly.
 */
const reliefShare = 1.1;
const reliefReturnShare = 1.02;

/** A fermenter counts as vented after so long under the limit. Chosen by us: filling and closing take less. */
const ventedSeconds = 2 * 3600;

/** A stray reading, or a hose lifted through foam, passes sooner. Chosen by us. */
const onDelaySeconds = 15 * 60;
const offDelaySeconds = 15 * 60;

/** Unix seconds of the first and the last reading in a row under the limit of a vented vessel. */
export type Vented = { readonly from: number; readonly to: number };

export const ventedLimit = (view: StageView): number | null =>
  view.stage === 'fermentation' && !view.watched.vessel.gasConnected
    ? limitOf(view.watched, 'fermentation', 'ventedGaugePressurePascal')
    : null;

/** Once it has been seen vented it stays so until the stage ends. */
export const ventedAfter = (
  before: Vented | null,
  { time, value }: Reading,
  limit: number,
): Vented | null => {
  if (before !== null && before.to - before.from >= ventedSeconds) return before;
  if (value >= limit) return null;
  return { from: before?.from ?? time, to: time };
};

/** High: a lively fermentation behind a shut vent reaches the rating of its vessel within hours. */
export const judgeVent = (
  view: StageView,
  vented: Vented | null,
  { time, value }: Reading,
): Finding | null => {
  const relief = view.watched.vessel.reliefGaugePressurePascal;
  const common = {
    kind: 'blocked-vent',
    channel: null,
    at: time,
    priority: 'high',
    onDelaySeconds,
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
  const limit = ventedLimit(view);
  if (limit === null || vented === null || vented.to - vented.from < ventedSeconds) return null;
  return {
    ...common,
    condition: value > limit ? 'holds' : value <= limit / 2 ? 'clear' : 'between',
    words: () => ({
      evidence: `gauge pressure is ${gaugePressure(value)} in a fermenter whose vent kept it under ${gaugePressure(limit)} for ${duration(vented.to - vented.from)} and more.`,
      likelyCauses: [
        'the airlock or the hose is clogged with foam, hops or fruit',
        'the hose is kinked or stands too deep in its bucket',
        'the vent was shut on purpose: note the setting of the spunding valve as the relief setting of the vessel',
      ],
      checkFirst,
      caution: pressureCaution,
      source: 'Head pressure against that of a vented vessel; the limit is chosen by us.',
    }),
  };
};

const checkFirst = [
  'stand aside of lid and hose, and read the gauge on the vessel',
  'cool the vessel, which slows the yeast',
  'relieve the pressure slowly through the proper valve, with eye protection',
  'only then clear the vent',
] as const;
