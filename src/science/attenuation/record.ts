/** A fit as it is stored, and the faults of fitting. Plain JSON: no I/O, no clock. */
import type { CurveModel } from './curve-models.ts';

/** One curve of a model, with the model's share of belief in its terminal gravity. */
export type CurveNode = {
  readonly share: number;
  /** Terminal gravity, fall, place (days since the origin), ln rate (1/day), shape; then offset, drift per day. */
  readonly parameters: readonly number[];
};

export type ModelBelief = {
  readonly model: CurveModel;
  /** Weight of the model by AICc, 0 to 1; the weights of a fit add to 1. */
  readonly weight: number;
  /** Row-major covariance of a node's parameters; terminal gravity has zeros where several nodes span it. */
  readonly covariance: readonly number[];
  /** Standard deviation by which each node's terminal gravity is smeared to fill the gaps between nodes. */
  readonly nodeSd: number;
  /** Shares add to 1. */
  readonly nodes: readonly CurveNode[];
};

export type AttenuationFit = {
  /** Unix seconds of the first reading. */
  readonly originSeconds: number;
  /** Unix seconds of the last reading. */
  readonly lastSeconds: number;
  readonly readings: number;
  /** Readings that the robust averages set aside. */
  readonly setAside: number;
  readonly models: readonly ModelBelief[];
  /** What is believed to follow if the curve seen ends in a pause, with the share of that belief. */
  readonly rest: {
    readonly share: number;
    readonly terminal: { readonly value: number; readonly sd: number };
  };
  /** How far a fermentation may stray from its curve, as a share of the fall. */
  readonly strayShare: number;
  /** How far the latest readings lie above the averaged curve, and the variance of that measurement. */
  readonly gap: { readonly value: number; readonly variance: number };
  /** Standard deviation of one reading. */
  readonly readingSd: number;
  /** Readings that together say as much as one independent reading would; 1 for white noise. */
  readonly readingsPerIndependent: number;
  /** True where a terminal prior took part. */
  readonly usedPrior: boolean;
};

/** The readings so far cannot say; more readings will. */
export type NotYet = {
  readonly kind: 'not-yet';
  readonly reason: 'too-few-readings' | 'no-fall-seen' | 'terminal-unknown' | 'no-fit';
  /** The number seen and the number that would do: readings, or specific gravity. */
  readonly seen: number;
  readonly needed: number;
};

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
      /** Null where the value is not a finite number. */
      readonly value: number | null;
      readonly low: number;
      readonly high: number;
    }
  | NotYet;
