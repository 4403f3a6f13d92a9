/** A recorded batch or vessel as a backtest takes it: what was watched, and its rows in order of arrival. Pure data. */
import type { Point, Watched } from '../../monitoring/watched.ts';

export type BacktestRecord = {
  /** The name in the file: a batch or a vessel. */
  readonly name: string;
  readonly watched: Watched;
  /** Unix seconds. */
  readonly begins: number;
  readonly ends: number;
  /** Each row's points were measured at one time and arrived together. */
  readonly rows: readonly (readonly Point[])[];
};
