/**
 * Relief valve chatter: a valve that opens and shuts again and again, seen as head pressure that falls at a stroke
 * from near its setting. Not judged in fermentation, where a spunding valve works that way all day.
 * Pure: no I/O, no clock.
 */
import type { Finding } from '../finding.ts';
import { pressureCaution } from '../pressure/over-pressure.ts';
import { duration, gaugePressure } from '../words/spoken.ts';
import type { Reading } from './course.ts';
import { plainFinding, type StageView } from './stage-view.ts';

export type Chatter = {
  readonly last: Reading;
  /** Unix seconds of the latest openings, oldest first. */
  readonly openings: readonly number[];
};

/** An opening begins this near to the setting and lets go at least so much of it. Chosen by us. */
const nearShare = 0.93;
const fallShare = 0.03;
/** So many openings within so long are chatter. Chosen by us: one blow and another are a valve at work. */
const openingsForChatter = 4;
const withinSeconds = 6 * 3600;

export const heardPressure = (
  before: Chatter | null,
  view: StageView,
  reading: Reading,
): Chatter => {
  const relief = view.watched.vessel.reliefGaugePressurePascal;
  if (before === null || relief === null) return { last: reading, openings: [] };
  const opened =
    before.last.value >= nearShare * relief &&
    // A stray of the gauge falls from far above: no valve lets its vessel climb there first.
    before.last.value <= 1.1 * relief &&
    before.last.value - reading.value >= fallShare * relief;
  return {
    last: reading,
    openings: opened
      ? [...before.openings, reading.time].slice(-openingsForChatter)
      : before.openings,
  };
};

/** Medium: the vessel is held, but by a valve that wears out and lets gas into the room. */
export const judgeChatter = (view: StageView, chatter: Chatter): Finding | null => {
  const relief = view.watched.vessel.reliefGaugePressurePascal;
  if (relief === null) return null;
  const { openings, last } = chatter;
  const recent = openings.filter((at) => at > last.time - withinSeconds);
  return plainFinding(
    'relief-chatter',
    recent.length >= openingsForChatter ? 'holds' : recent.length === 0 ? 'clear' : 'between',
    view.now,
    'medium',
    () => ({
      evidence:
        recent.length === 0
          ? `the relief valve has not opened for ${duration(withinSeconds)}; gauge pressure is ${gaugePressure(last.value)}.`
          : `head pressure has fallen ${recent.length} times at a stroke in the last ${duration(last.time - (recent[0] ?? last.time))} from near ${gaugePressure(relief)}, the setting of the relief valve; it is ${gaugePressure(last.value)}.`,
      likelyCauses: [
        'the drink ferments or warms in its closed vessel, and the valve keeps letting go',
        'the gas supply creeps above the setting of the valve',
        'the valve is set close to the pressure that the vessel is worked at',
      ],
      checkFirst: [
        'ventilate the room: every opening lets carbon dioxide out',
        'close the gas supply, and cool the vessel',
        'compare the gravity with the one at filling',
        'have the valve checked before it is relied on again',
      ],
      caution: pressureCaution,
      source: 'Falls of 3 % of the setting from near it; chosen by us.',
    }),
  );
};
