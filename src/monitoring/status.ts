/** What Gyleward says of a vessel at a moment. Pure data: no I/O, no clock. */

import type { Estimate } from '../science/estimate.ts';
import type { Channel } from '../science/units/channel.ts';
import type { Alarm } from './alarms/alarm.ts';
import type { Stage } from './batch.ts';
import type { LimitInForce } from './stages/limits.ts';
import type { StageClock } from './stages/stage-view.ts';

export type LatestReading = {
  readonly value: number;
  /** SenML symbol of the unit. */
  readonly unit: string;
  /** Unix seconds. */
  readonly time: number;
  readonly ageSeconds: number;
};

export type FermentationStatus = {
  readonly phase: 'waiting' | 'active' | 'finished' | 'stalled';
  /** Smoothed present gravity, not the last raw reading. */
  readonly presentGravity: number | null;
  readonly presentExtractPlato: number | null;
  /** Fractions, 0 to 1. */
  readonly apparentAttenuation: number | null;
  readonly realAttenuation: number | null;
  readonly alcoholByVolumePercent: number | null;
  readonly terminalGravity: Estimate | null;
  /** Unix seconds at which gravity comes within half a point of terminal. */
  readonly finishAt: Estimate | null;
  /** How the forecast was made, or why there is none yet. */
  readonly basis: string;
};

export type PressureStatus = {
  /** Measured head pressure, smoothed. */
  readonly gaugePressurePascal: number | null;
  /** Where the closed vessel settles at its present temperature. */
  readonly equilibriumGaugePressurePascal: number | null;
  readonly carbonationVolumes: number | null;
  /** Measured pressure over the rated pressure. */
  readonly shareOfRating: number | null;
  /** Unix seconds at which the rated pressure is expected to be crossed; null if it is not. */
  readonly crossingAt: Estimate | null;
  readonly basis: string;
};

export type Status = {
  readonly stage: Stage | null;
  readonly latest: Readonly<Partial<Record<Channel, LatestReading>>>;
  readonly fermentation: FermentationStatus | null;
  readonly pressure: PressureStatus | null;
  /** How far the clocks of the present stage have run. */
  readonly clocks: readonly StageClock[];
  /** Every limit of the present stage, and where it comes from. */
  readonly limits: readonly LimitInForce[];
  /** Standing alarms, most urgent first. */
  readonly alarms: readonly Alarm[];
  /** Alarms that are shelved, suppressed or out of service: followed in silence. */
  readonly setAside: readonly Alarm[];
  readonly cautions: readonly string[];
};
