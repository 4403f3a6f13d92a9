/** What is remembered of a fermentation between two calls. Plain JSON of bounded size. */
import type { AttenuationFit } from '../../science/attenuation-curve.ts';
import type { FermentationStatus } from '../status.ts';
import type { Shift, Span } from './gravity-course.ts';

export type FermentationMemory = {
  readonly phase: FermentationStatus['phase'];
  /** Greatest fall per hour held over half a day, in points. */
  readonly peakRate: number;
  /** Greatest share of the distance to terminal that was fermented in an hour, held over half a day. */
  readonly peakPace: number;
  /** Moved sensor: when, and by how many points. */
  readonly shifts: readonly Shift[];
  /** Spans in which the gravity sensor was frozen, latest last. */
  readonly frozen: readonly Span[];
  /** Points at which the fermentation was last found stopped or finished; a fall from there is a restart. */
  readonly restedAt: number | null;
  /** Smoothed present gravity with the sensor's offset taken off, and when it was; null until it is known. */
  readonly present: {
    readonly at: number;
    readonly gravity: number;
    /** Points that the sensor reads too high, as far as hand measurements tell. */
    readonly sensorError: number;
  } | null;
  readonly fit: AttenuationFit | null;
  /** The hand samples that the latest step has seen (sample-mark.ts); absent in a state kept by an older version. */
  readonly sampled?: string | null;
  /** Unix seconds of the latest try to fit. */
  readonly fittedAt: number | null;
  /** Why there is no fit, as a sentence. */
  readonly fitFault: string | null;
  /** What the latest fit made of a fermentation at work foretold, to hold a stop against. */
  readonly outlook: Outlook | null;
};

/** Points that gravity was to fall from a moment on. */
export type Outlook = {
  readonly at: number;
  readonly hours: readonly number[];
  readonly fallen: readonly number[];
};

export const noFermentation: FermentationMemory = {
  phase: 'waiting',
  peakRate: 0,
  peakPace: 0,
  shifts: [],
  frozen: [],
  restedAt: null,
  present: null,
  sampled: null,
  fit: null,
  fittedAt: null,
  fitFault: null,
  outlook: null,
};
