/**
 * What the chart of one vessel is drawn from: the body of `chart.json`. Times are Unix seconds, values
 * in each channel's stored unit; `null` is a step without readings. Pure data: no I/O, no clock.
 */
import type { AlarmKind } from '../monitoring/alarms/alarm.ts';
import type { TemperatureBand } from '../monitoring/vessel.ts';
import type { Happening } from '../monitoring/watched.ts';
import type { Channel } from '../science/units/channel.ts';

/** Lowest and highest reading of each step, aligned with `times`. */
export type ChartSeries = {
  readonly low: readonly (number | null)[];
  readonly high: readonly (number | null)[];
};

export type ChartReadings = {
  /** Middle of each step. */
  readonly times: readonly number[];
  readonly series: Readonly<Partial<Record<Channel, ChartSeries>>>;
};

export type ChartMark = {
  readonly at: number;
  readonly words: string;
  readonly kind: AlarmKind | Happening['kind'];
};

export type ChartData = ChartReadings & {
  /** Fitted gravity and forecast with its 90 % band; null where there is no fit. */
  readonly curve: {
    readonly times: readonly number[];
    readonly value: readonly number[];
    readonly low: readonly number[];
    readonly high: readonly number[];
  } | null;
  readonly limits: {
    readonly ratedGaugePressurePascal: number | null;
    readonly reliefGaugePressurePascal: number | null;
    readonly temperatureBand: TemperatureBand | null;
    readonly expectedTerminalGravity: number | null;
  };
  readonly marks: readonly ChartMark[];
};
