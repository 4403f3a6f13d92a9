/** What is remembered of a vessel's pressure between two calls. Plain JSON of bounded size. */
import type { Estimate } from '../../science/estimate.ts';

export type PressureMemory = {
  /** Smoothed head pressure and temperature, and when. */
  readonly at: number;
  readonly gaugePressurePascal: number;
  readonly temperatureCelsius: number | null;
  /** Carbon dioxide in the vessel at rest, g; null where it is not known. */
  readonly contentGram: number | null;
  /** Where the closed vessel settles at its present temperature. */
  readonly restPascal: number | null;
  readonly volumes: number | null;
  readonly crossingAt: Estimate | null;
  readonly basis: string;
};
