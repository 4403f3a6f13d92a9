/**
 * A gravity sensor that reads beside the truth, as samples taken by hand reveal: by an offset, or by a drift from one
 * sample to a later one. Gyleward corrects the present gravity by the samples; this says that the sensor wants
 * looking at. Pure: no I/O, no clock.
 */
import type { Batch } from '../batch.ts';
import { type ChronicleRow, heardIn, middleOf } from '../course/chronicle.ts';
import type { Span } from '../fermentation/gravity-course.ts';
import { type SampleError, sampleErrors } from '../fermentation/sampled-error.ts';
import type { Finding, FindingWords } from '../finding.ts';
import { duration, points } from '../words/spoken.ts';

/**
 * Points of offset beyond what the sample explains that raise the alarm. Chosen by us: a float lies beside the truth by
 * 1.3 points as a rule, which nobody needs to be told. Less alarms on ordinary floats; more leaves worse ones unsaid.
 */
const offsetPoints = 2;

/** The same for the change from the first sample to the newest two. Chosen by us: an ordinary float drifts by less. */
const driftPoints = 1.5;

/** Between two samples whose difference counts as drift. Chosen by us: within a day it is noise. */
const driftSeconds = 86_400;

/** The offset must come back to this share of its limit. Chosen by us: one more sample would else raise it again. */
const returnShare = 0.5;

/** Samples that must agree. Chosen by us: one may be read carelessly, or be taken while foam lifts the sensor. */
const agreeingSamples = 2;

type Misreading = {
  /** The newest samples, of which the one that says least counts. */
  readonly said: SampleError;
  readonly first: SampleError;
};

/** Judges what was read, moves of the sensor left in. Null where too few samples have readings near them. */
export const judgeMisreading = (
  batch: Batch,
  rows: readonly ChronicleRow[],
  frozen: readonly Span[],
  now: number,
): Finding | null => {
  if ((batch.samples ?? []).length < agreeingSamples) return null;
  const errors = sampleErrors(batch, asRead(rows, batch.startedAt, frozen));
  const newest = errors.slice(-agreeingSamples);
  const [first] = errors;
  const said = newest.toSorted((a, b) => Math.abs(a.points) - Math.abs(b.points))[0];
  if (first === undefined || said === undefined || newest.length < agreeingSamples) return null;
  const agree = newest.every(({ points }) => Math.sign(points) === Math.sign(said.points));
  const offset = agree ? Math.abs(said.points) - said.explained : 0;
  const isLater = newest.every(({ time }) => time - first.time >= driftSeconds);
  const drift = isLater
    ? Math.abs(said.points - first.points) - Math.hypot(said.explained, first.explained)
    : 0;
  // A sensor that was cleaned, and reads right since, has drifted the right way.
  const isOff = offset > returnShare * offsetPoints;
  const drifts = isOff && drift >= driftPoints;
  return {
    kind: 'misreading-sensor',
    channel: 'gravity',
    condition: offset >= offsetPoints || drifts ? 'holds' : isOff ? 'between' : 'clear',
    at: now,
    priority: 'low',
    onDelaySeconds: 0,
    offDelaySeconds: 0,
    words: () => words({ said, first }, isOff, drifts),
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

const words = ({ said, first }: Misreading, isOff: boolean, drifts: boolean): FindingWords => {
  const present = `beside the last ${agreeingSamples} samples taken by hand the gravity sensor reads ${beside(said.points)}, by the one that says less`;
  if (!isOff) {
    return { evidence: `${present}.`, likelyCauses: [], checkFirst: [], caution: null };
  }
  return {
    evidence:
      `${present}; the hydrometer and the readings' own scatter explain ${points(said.explained / 1000)} of it.` +
      (drifts
        ? ` It has drifted: ${duration(said.time - first.time)} before it read ${beside(first.points)}.`
        : ''),
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
