/**
 * The attenuation curve of one fermentation: fitted to gravity readings, and what it says of the gravity
 * at any time, of terminal gravity and of the moment of finishing, each with a 90 % band.
 * A fit is plain JSON. Pure: no I/O, no clock, no randomness; equal input gives equal output.
 * Times are Unix seconds on the way in and out, gravities are apparent specific gravity 20/20.
 */
import { fail, type Result } from '../result.ts';

/** What is believed of a gravity, as a normal distribution. */
export type GravityBelief = { readonly value: number; readonly sd: number };

/** A gravity measured by hand; it is free of the sensor's offset and drift. */
export type HandSample = {
  readonly timeSeconds: number;
  readonly gravity: number;
  readonly sd: number;
};

/** Readings of one sensor. Order does not matter; arrays of equal length. */
export type AttenuationReadings = {
  readonly timesSeconds: ArrayLike<number>;
  readonly gravities: ArrayLike<number>;
  /** Relative weight of each reading, 1 where absent, 0 to leave a reading out. */
  readonly weights?: ArrayLike<number> | null;
};

export type AttenuationOptions = {
  /** Gravity before fermentation as measured, with the standard deviation of that measurement. */
  readonly originalGravity?: GravityBelief | null;
  /** What is known of terminal gravity beforehand: limit test, brewer's estimate, past batches. */
  readonly terminalPrior?: GravityBelief | null;
  /** When the batch was pitched, if known: the curve cannot have fallen before. */
  readonly pitchedAtSeconds?: number | null;
  readonly handSamples?: readonly HandSample[] | null;
};

/** A value with the bounds of its 90 % band. */
export type Estimate = { readonly value: number; readonly low: number; readonly high: number };

export type CurveModel = 'logistic' | 'generalised-logistic' | 'gompertz-lag';

/** Why there is no answer. Each arm carries the numbers that decided. */
export type AttenuationFault =
  | {
      readonly kind: 'lengths-differ';
      readonly times: number;
      readonly gravities: number;
      readonly weights: number | null;
    }
  | {
      readonly kind: 'outside-range';
      readonly field: string;
      readonly value: number | null;
      readonly low: number;
      readonly high: number;
    }
  | NotYet;

/** The readings so far cannot say; more readings will. */
export type NotYet = {
  readonly kind: 'not-yet';
  readonly reason:
    | 'too-few-readings'
    | 'too-short'
    | 'no-fall-seen'
    | 'slope-not-settled'
    | 'no-fit';
  /** The number seen and the number that would do, in the unit the reason implies. */
  readonly seen: number;
  readonly needed: number;
  /** The reason as a sentence for a person. */
  readonly words: string;
};

/** One curve with its share of the average, conditional on one terminal gravity. */
export type CurveNode = {
  readonly model: CurveModel;
  /** Share of the model average, 0 to 1; all nodes of a fit add to 1. */
  readonly share: number;
  /** Parameters in the model's own order; see attenuation/models. Time in days since the origin. */
  readonly parameters: readonly number[];
};

export type AttenuationFit = {
  /** Unix seconds of the first reading. */
  readonly originSeconds: number;
  /** Unix seconds of the last reading. */
  readonly lastSeconds: number;
  readonly readings: number;
  /** Readings that the robust loss set aside (weight under one half). */
  readonly setAside: number;
  /** The best single model by AICc, and its weight among the models. */
  readonly model: CurveModel;
  readonly modelWeight: number;
  readonly nodes: readonly CurveNode[];
  /** Robust standard deviation of one reading about the curve. */
  readonly residualSd: number;
  /** Readings that carry the information of one independent reading (1 if residuals are independent). */
  readonly readingsPerIndependent: number;
  /** What the sensor is thought to read above the true gravity at the last reading. */
  readonly sensorOffset: Estimate;
  /** True if a terminal prior took part. */
  readonly usedPrior: boolean;
};

const stub: NotYet = {
  kind: 'not-yet',
  reason: 'no-fit',
  seen: 0,
  needed: 0,
  words: 'the attenuation curve is being written',
};

/** Fits the curve. Works from the first hours of falling gravity; says not-yet when it cannot know. */
export const fitAttenuation = (
  _readings: AttenuationReadings,
  _options: AttenuationOptions = {},
): Result<AttenuationFit, AttenuationFault> => fail(stub);

/** True gravity of the liquid at a time, freed of the sensor's offset. Never NaN; any finite time. */
export const gravityAt = (_fit: AttenuationFit, _timeSeconds: number): Estimate => ({
  value: 1,
  low: 1,
  high: 1,
});

/** What this sensor should read at a time (curve plus offset): to compare with readings, to draw. */
export const readingAt = (_fit: AttenuationFit, _timeSeconds: number): Estimate => ({
  value: 1,
  low: 1,
  high: 1,
});

/** Specific gravity per second at a time, negative while gravity falls. */
export const rateAt = (_fit: AttenuationFit, _timeSeconds: number): Estimate => ({
  value: 0,
  low: 0,
  high: 0,
});

/** Terminal gravity of the liquid. */
export const terminalGravity = (_fit: AttenuationFit): Estimate => ({ value: 1, low: 1, high: 1 });

/** Unix seconds at which gravity comes within half a point (0.0005) of terminal. */
export const finishAt = (_fit: AttenuationFit): Result<Estimate, NotYet> => fail(stub);
