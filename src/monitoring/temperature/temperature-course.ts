/**
 * What the chronicle shows of the temperature of a drink at a moment: how far it has fallen from where the batch
 * usually stands, from the coldest it has been, from half a day ago and from yesterday. Each fall is told by the
 * warmest of the newest rows, so that a lid opened for a sample does not count. Pure: no I/O, no clock.
 */
import { type ChronicleRow, heardIn, middleOf } from '../course/chronicle.ts';
import { median } from '../course/median.ts';

export type TemperatureCourse = {
  /** Unix seconds of the newest row with a temperature. */
  readonly at: number;
  readonly now: number;
  /** The temperature that four fifths of the last five days lay under. */
  readonly usual: number;
  /** The temperature that one tenth of the time since the batch began lay under, the last half day left out; null early on. */
  readonly coldest: number | null;
  /** Degrees below what it was half a day ago, or at the row before where rows are sparse. */
  readonly fallenInHalfDay: number | null;
  /** Degrees below the coldest of about the same time of yesterday; null where nothing was heard then. */
  readonly fallenSinceYesterday: number | null;
  /** Unix seconds at which it last stood where it came from. */
  readonly fallsSince: number;
};

const hour = 3600;

/** Rows this young tell where the temperature is. Chosen by us: a door opens for less; more delays every alarm. */
const nowSeconds = 1 * hour;

const usualSeconds = 5 * 86_400;

/** What it usually is, of the last days: what four fifths of the time lay under. Chosen by us. */
const usualShare = 0.8;

const coldestShare = 0.1;

/** The latest half day does not count to what the batch is used to. Chosen by us: a crash is found within it. */
const unusedSeconds = 12 * hour;

/** Rows about so long ago are "yesterday": wide enough that the coldest hour of a night is among them. */
const yesterdaySeconds = [16 * hour, 32 * hour] as const;

/** Where it came from: the warmest since a little more than a day, less what noise and a night take. Chosen by us. */
const fromSeconds = 30 * hour;
const fromCelsius = 0.8;

type Heard = { readonly at: number; readonly celsius: number };

/** Null for fewer than two rows. */
export const temperatureCourse = (
  rows: readonly ChronicleRow[],
  start: number,
): TemperatureCourse | null => {
  const heard = rows.flatMap((row): readonly Heard[] => {
    const celsius = heardIn(row, 'temperature');
    const at = middleOf(row);
    return celsius === null || at < start ? [] : [{ at, celsius }];
  });
  const newest = heard.at(-1);
  const before = heard.at(-2);
  if (newest === undefined || before === undefined) return null;
  const { at } = newest;
  const between = (oldest: number, youngest: number): readonly number[] =>
    heard
      .filter((one) => one.at >= at - oldest && one.at <= at - youngest)
      .map(({ celsius }) => celsius);
  const now = Math.max(...between(nowSeconds, 0));
  const used = between(Number.POSITIVE_INFINITY, unusedSeconds);
  const halfDayAgo = between(unusedSeconds + nowSeconds, unusedSeconds - nowSeconds);
  const yesterday = between(yesterdaySeconds[1], yesterdaySeconds[0]);
  const sparse = at - before.at > nowSeconds && at - before.at < yesterdaySeconds[1];
  const earlier = halfDayAgo.length > 0 ? median(halfDayAgo) : sparse ? before.celsius : null;
  const from = Math.max(before.celsius, ...between(fromSeconds, 0)) - fromCelsius;
  return {
    at,
    now,
    usual: shareOf(between(usualSeconds, 0), usualShare),
    coldest: used.length < 2 ? null : shareOf(used, coldestShare),
    fallenInHalfDay: earlier === null ? null : earlier - now,
    fallenSinceYesterday: yesterday.length === 0 ? null : Math.min(...yesterday) - now,
    fallsSince: heard.findLast((one) => one.celsius >= from)?.at ?? before.at,
  };
};

const shareOf = (values: readonly number[], share: number): number => {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length * share)] ?? 0;
};
