/**
 * The chronicle of a vessel: medians of its readings in buckets of half an hour, joined over the channels
 * that tell how a drink does, and thinned as the batch grows, so that its size is bounded.
 *
 * Order of arrival does not matter within the lateness window: a bucket keeps its raw readings until the
 * window has passed, and of a sensor that sends more than it keeps, a choice that depends on what was read and not on
 * when it arrived (open-readings.ts). A reading later than that fills a bucket that has none of its channel, and is
 * otherwise left to storage. Pure: no I/O, no clock, no randomness.
 */
import type { Channel } from '../../science/units/channel.ts';
import type { Point } from '../watched.ts';
import { median } from './median.ts';
import { type OpenReadings, withOpenReading } from './open-readings.ts';

/** The channels kept, in the order in which a row holds them. */
export const chronicleChannels = ['gravity', 'temperature', 'gauge-pressure', 'gas-flow'] as const;

type ChronicleChannel = (typeof chronicleChannels)[number];

/** A tuple, for the sake of its size as JSON: begin and length in seconds, then the medians or null. */
export type ChronicleRow = readonly [
  from: number,
  span: number,
  gravity: number | null,
  temperature: number | null,
  gaugePressure: number | null,
  gasFlow: number | null,
];

type OpenBucket = {
  readonly from: number;
  /** By column. */
  readonly raw: readonly OpenReadings[];
};

export type Chronicle = {
  readonly rows: readonly ChronicleRow[];
  readonly open: readonly OpenBucket[];
  /** Unix seconds before which buckets are closed. */
  readonly closedBefore: number;
};

/** Bucket width. Chosen by us: fine enough for a keg that warms in hours, coarse enough to calm a float. */
export const bucketSeconds = 1800;

/** How long after its end a bucket waits for late readings. Chosen by us: longer costs as much warning. */
export const latenessSeconds = 900;

/** Rows kept. Chosen by us: about 12 kB of JSON; fewer blur the early curve of a long fermentation. */
const rowsKept = 224;

/** Rows younger than this are never merged: the detectors look at them one by one. */
const fineSeconds = 54 * 3600;

export const emptyChronicle: Chronicle = {
  rows: [],
  open: [],
  closedBefore: Number.MIN_SAFE_INTEGER,
};

/** Takes points in any order and closes what is due. `closed` tells whether a row was added or filled. */
export const chronicle = (
  before: Chronicle,
  points: readonly Point[],
  now: number,
): { readonly chronicle: Chronicle; readonly closed: boolean } => {
  const buckets = new Map<number, OpenReadings[]>(
    before.open.map(({ from, raw }) => [from, [...raw]]),
  );
  for (const { channel, time, value } of points) {
    const column = columnOf(channel);
    if (column < 0) continue;
    const from = Math.floor(time / bucketSeconds) * bucketSeconds;
    const raw = buckets.get(from) ?? chronicleChannels.map(() => []);
    raw[column] = withOpenReading(raw[column] ?? [], [time - from, value]);
    buckets.set(from, raw);
  }
  if (buckets.size === 0) return { chronicle: before, closed: false };
  const closedBefore = Math.max(
    before.closedBefore,
    Math.floor((now - latenessSeconds) / bucketSeconds) * bucketSeconds,
  );
  const open: OpenBucket[] = [];
  let rows = before.rows;
  for (const [from, raw] of [...buckets].sort(([a], [b]) => a - b)) {
    if (from >= closedBefore) open.push({ from, raw });
    else
      rows = placed(
        rows,
        rowOf(
          from,
          bucketSeconds,
          raw.map((heard) =>
            heard.length === 0 ? null : rounded(median(heard.map(([, value]) => value))),
          ),
        ),
      );
  }
  return {
    chronicle: { rows: thinned(rows), open, closedBefore },
    closed: rows !== before.rows,
  };
};

/** Unix seconds at which the clock alone closes the first open bucket; null while none is open. */
export const closesAt = ({ open }: Chronicle): number | null =>
  open[0] === undefined ? null : open[0].from + bucketSeconds + latenessSeconds;

/** Forgets what lies before a time, as when a batch enters the vessel. */
export const chronicleFrom = (before: Chronicle, time: number): Chronicle => ({
  ...before,
  rows: before.rows.filter(([from, span]) => from + span > time),
  open: before.open.filter(({ from }) => from + bucketSeconds > time),
});

const columnOf = (channel: Channel): number =>
  (chronicleChannels as readonly Channel[]).indexOf(channel);

export const heardIn = (row: ChronicleRow, channel: ChronicleChannel): number | null =>
  row[firstValue + chronicleChannels.indexOf(channel)] ?? null;

export const middleOf = ([from, span]: ChronicleRow): number => from + span / 2;

const firstValue = 2;

const rowOf = (from: number, span: number, values: readonly (number | null)[]): ChronicleRow => [
  from,
  span,
  values[0] ?? null,
  values[1] ?? null,
  values[2] ?? null,
  values[3] ?? null,
];

const valuesOf = (row: ChronicleRow): readonly (number | null)[] => row.slice(firstValue);

const placed = (rows: readonly ChronicleRow[], row: ChronicleRow): readonly ChronicleRow[] => {
  const last = rows.at(-1);
  if (last === undefined || row[0] >= last[0] + last[1]) return [...rows, row];
  const index = rows.findIndex(([from, span]) => row[0] < from + span);
  const there = rows[index];
  if (there === undefined || row[0] < there[0]) return rows.toSpliced(index, 0, row);
  const own = valuesOf(row);
  const values = valuesOf(there);
  const filled = values.some((value, column) => value === null && own[column] !== null);
  if (!filled) return rows;
  return rows.with(
    index,
    rowOf(
      there[0],
      there[1],
      values.map((value, column) => value ?? own[column] ?? null),
    ),
  );
};

/** Merges the tightest pair of old rows until few enough are left. */
const thinned = (rows: readonly ChronicleRow[]): readonly ChronicleRow[] => {
  let kept = rows;
  while (kept.length > rowsKept) {
    const newest = kept.at(-1)?.[0] ?? 0;
    let best = 0;
    let tightest = Number.POSITIVE_INFINITY;
    for (let index = 0; index + 1 < kept.length; index += 1) {
      const left = kept[index];
      const right = kept[index + 1];
      if (left === undefined || right === undefined) continue;
      if (index > 0 && right[0] > newest - fineSeconds) break;
      const reach = right[0] + right[1] - left[0];
      if (reach < tightest) {
        tightest = reach;
        best = index;
      }
    }
    kept = merged(kept, best);
  }
  return kept;
};

const merged = (rows: readonly ChronicleRow[], index: number): readonly ChronicleRow[] => {
  const left = rows[index];
  const right = rows[index + 1];
  if (left === undefined || right === undefined) return rows;
  const before = rows[index - 1];
  const after = rows[index + 2];
  const others = valuesOf(right);
  const values = valuesOf(left).map((a, column) => {
    const b = others[column] ?? null;
    if (a === null || b === null) return a ?? b;
    const around = [before?.[firstValue + column], after?.[firstValue + column]].filter(
      (value) => value !== null && value !== undefined,
    );
    // With a neighbour on each side the median of the four sets a lone outlier aside; else the mean.
    return around.length === 2 ? rounded(median([a, b, ...around])) : rounded((a + b) / 2);
  });
  return rows.toSpliced(index, 2, rowOf(left[0], right[0] + right[1] - left[0], values));
};

/** Seven significant digits keep a gravity to 1e-6 and the state small. */
const rounded = (value: number): number => Number(value.toPrecision(7));
