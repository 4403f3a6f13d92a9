/**
 * A gravity sensor that reads beside the truth, as samples taken by hand reveal: by an offset, or by a drift from one
 * sample to a later one. Gyleward corrects the present gravity by the samples; this says that the sensor wants
 * looking at. Pure: no I/O, no clock.
 */
import type { Batch } from './batch.ts';
import { type ChronicleRow, heardIn, middleOf } from './chronicle.ts';
import type { Finding, FindingWords } from './finding.ts';
import type { Span } from './gravity-course.ts';
import { median } from './median.ts';
import { type SampleError, sampleErrors, votingSamples } from './sampled-error.ts';
import { duration, points } from './spoken.ts';

/**
 * Points of offset beyond what the sample explains that raise the alarm. Chosen by us: a float lies beside the truth by
 * 1.3 points as a rule, which nobody needs to be told. Less alarms on ordinary floats; more leaves worse ones unsaid.
 */
const offsetPoints = 2;

/** The same for the change from the first sample to the newest. Chosen by us: an ordinary float drifts by less. */
const driftPoints = 1.5;

/** Between two samples whose difference counts as drift. Chosen by us: within a day it is noise. */
const driftSeconds = 86_400;

/** Both must come back to this share of their limit. Chosen by us: one more sample would else raise it again. */
const returnShare = 0.5;

type Misreading = {
  readonly errors: readonly SampleError[];
  /** Points by which the newest samples say that it reads too high, and what of it may be explained. */
  readonly offset: number;
  readonly explained: number;
  /** The first sample and the newest, where they lie far enough apart. */
  readonly drift: { readonly first: SampleError; readonly newest: SampleError } | null;
};

/** Judges what was read, moves of the sensor left in. Null where no sample has readings near it. */
export const judgeMisreading = (
  batch: Batch,
  rows: readonly ChronicleRow[],
  frozen: readonly Span[],
  now: number,
): Finding | null => {
  if ((batch.samples ?? []).length === 0) return null;
  const errors = sampleErrors(batch, asRead(rows, batch.startedAt, frozen));
  const first = errors[0];
  const newest = errors.at(-1);
  if (first === undefined || newest === undefined) return null;
  const votes = errors.slice(-votingSamples);
  const seen: Misreading = {
    errors: votes,
    offset: median(votes.map((error) => error.points)),
    explained: median(votes.map((error) => error.explained)),
    drift: newest.time - first.time >= driftSeconds ? { first, newest } : null,
  };
  const offset = Math.abs(seen.offset) - seen.explained;
  const drift =
    Math.abs(newest.points - first.points) - Math.hypot(newest.explained, first.explained);
  // A sensor that was cleaned, and reads right since, has drifted the right way.
  const isOff = Math.abs(newest.points) - newest.explained > returnShare * offsetPoints;
  const drifts = seen.drift !== null && drift >= driftPoints && isOff;
  const holds = offset >= offsetPoints || drifts;
  const clear =
    offset <= returnShare * offsetPoints &&
    (seen.drift === null || !isOff || drift <= returnShare * driftPoints);
  return {
    kind: 'misreading-sensor',
    channel: 'gravity',
    condition: holds ? 'holds' : clear ? 'clear' : 'between',
    at: now,
    priority: 'low',
    onDelaySeconds: 0,
    offDelaySeconds: 0,
    words: () => words(seen, holds, drifts),
  };
};

const asRead = (rows: readonly ChronicleRow[], start: number, frozen: readonly Span[]) => {
  const heard = rows.flatMap((row) => {
    const gravity = heardIn(row, 'gravity');
    const at = middleOf(row);
    const isFrozen = frozen.some(([from, to]) => at >= from && at <= to);
    return gravity === null || isFrozen
      ? []
      : [{ hour: (at - start) / 3600, points: (gravity - 1) * 1000 }];
  });
  return { hours: heard.map(({ hour }) => hour), points: heard.map(({ points }) => points) };
};

const beside = (error: number): string =>
  `${points(Math.abs(error) / 1000)} too ${error < 0 ? 'low' : 'high'}`;

const words = (
  { errors, offset, explained, drift }: Misreading,
  holds: boolean,
  drifts: boolean,
): FindingWords => {
  const samples = errors.length === 1 ? 'the sample' : `the last ${errors.length} samples`;
  const now = `beside ${samples} taken by hand the gravity sensor reads ${beside(offset)}`;
  if (!holds) {
    return { evidence: `${now}.`, likelyCauses: [], checkFirst: [], caution: null };
  }
  return {
    evidence:
      drifts && drift !== null
        ? `beside samples taken by hand the gravity sensor read ${beside(drift.first.points)} at first, ` +
          `and ${duration(drift.newest.time - drift.first.time)} later ${beside(drift.newest.points)}.`
        : `${now}; the hydrometer and the readings' own scatter explain ${points(explained / 1000)} of it.`,
    likelyCauses: [
      'krausen, hops or yeast cling to the sensor, or a bubble lifts it',
      'the sensor was moved, or its calibration is off',
      'the sample was read warm, with gas in it, or long before or after the time noted',
    ],
    checkFirst: [
      'take another sample, let the gas out of it, and correct it for its temperature',
      'clean the sensor, and check it in water at the temperature it is calibrated for',
      'go by samples until then: Gyleward corrects the present gravity by them',
    ],
    caution: null,
  };
};
