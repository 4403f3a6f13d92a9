/**
 * Movement after "finished": gravity that falls on while the drink is conditioned, against what it was when
 * conditioning began. A change of temperature moves a floating sensor as well, so the comparison begins afresh
 * where temperature has moved. Pure: no I/O, no clock.
 */
import { type ChronicleRow, heardIn, middleOf } from '../course/chronicle.ts';
import { median } from '../course/median.ts';
import type { Finding } from '../finding.ts';
import { celsius, duration, gravity, points } from '../words/spoken.ts';
import { limitOf } from './limits.ts';
import { plainFinding, type StageView } from './stage-view.ts';

export type AtRest = {
  /** Unix seconds. */
  readonly at: number;
  readonly gravity: number;
  readonly celsius: number | null;
};

/** Gravity is the median over this time, which no bubble moves. Chosen by us. */
const windowSeconds = 6 * 3600;

/**
 * Degrees beyond which two gravities are not compared. Chosen by us: water at 4 °C and 12 °C differ by half a point,
 * at 12 °C and 20 °C by more than a point, and few floats correct for all of it.
 */
const comparableCelsius = 4;

/** The gravity that later ones are held against; kept while temperature stays near. */
export const atRest = (before: AtRest | null, view: StageView): AtRest | null => {
  const now = level(view);
  if (now === null) return before;
  if (before === null) return now;
  return before.celsius !== null &&
    now.celsius !== null &&
    Math.abs(now.celsius - before.celsius) > comparableCelsius
    ? now
    : before;
};

/** Medium: a drink that ferments on must not be closed up, which happens over days. */
export const movement = (view: StageView, rest: AtRest | null): Finding | null => {
  const limit = limitOf(view.watched, 'conditioning', 'gravityFall');
  const now = level(view);
  if (limit === null || rest === null || now === null) return null;
  const fall = rest.gravity - now.gravity;
  return plainFinding(
    'gravity-movement',
    fall >= limit ? 'holds' : fall <= limit / 2 ? 'clear' : 'between',
    view.now,
    'medium',
    () => ({
      evidence:
        `gravity has fallen by ${points(fall)}, from ${gravity(rest.gravity)} to ${gravity(now.gravity)}, in the ${duration(now.at - rest.at)} since it was held to be at rest` +
        (now.celsius === null ? '.' : `, at ${celsius(now.celsius)}.`),
      likelyCauses: [
        'fermentation was not finished when conditioning began, or has restarted with warmth or stirring',
        'wild yeast or bacteria ferment what brewing yeast left',
        'the sensor was moved, or gathers bubbles or yeast',
      ],
      checkFirst: [
        'take a sample by hand and compare its gravity',
        'do not close the vessel up or fill kegs or bottles until it has been still for two or three days',
        'if it must be closed, keep it cold and watch its pressure',
      ],
      caution:
        'A drink that ferments on in a closed vessel can build pressure beyond what it may hold. The nameplate and the relief device decide.',
      source: 'Stable means at most 0.1 °P in 48 to 72 h: common practice.',
    }),
  );
};

/** By the sensor, or else by hand; never one against the other, since the sensor has an offset. */
const level = (view: StageView): AtRest | null =>
  view.rows.some((row) => middleOf(row) >= view.since && heardIn(row, 'gravity') !== null)
    ? sensedLevel(view)
    : sampledLevel(view);

const sampledLevel = ({ batch, since, now }: StageView): AtRest | null => {
  const sample = batch.samples?.findLast(
    ({ time, gravity: read }) => read !== null && time >= since && time <= now,
  );
  return sample === undefined || sample.gravity === null
    ? null
    : { at: sample.time, gravity: sample.gravity, celsius: null };
};

const sensedLevel = ({ rows, since }: StageView): AtRest | null => {
  const own = rows.filter((row) => middleOf(row) >= since);
  const newest = own.findLast((row) => heardIn(row, 'gravity') !== null);
  if (newest === undefined) return null;
  const at = middleOf(newest);
  const near = own.filter((row) => middleOf(row) > at - windowSeconds && middleOf(row) <= at);
  const heard = (channel: 'gravity' | 'temperature', row: ChronicleRow): number[] => {
    const value = heardIn(row, channel);
    return value === null ? [] : [value];
  };
  const gravities = near.flatMap((row) => heard('gravity', row));
  const celsiuses = near.flatMap((row) => heard('temperature', row));
  // A float that answers often must fill the window first; a hand sample stands alone.
  if (gravities.length > 1 && at - since < windowSeconds) return null;
  return {
    at,
    gravity: Number(median(gravities).toFixed(5)),
    celsius: celsiuses.length === 0 ? null : Number(median(celsiuses).toFixed(2)),
  };
};
