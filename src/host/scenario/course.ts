/** What truly happens in a vessel, a step at a time. Pure data. */
import type { Channel } from '../../science/units/channel.ts';
import type { DeedKind } from './deed.ts';

export const stepSeconds = 900;
export const stepHours = stepSeconds / 3600;

/** Hours after the start at which each trouble begins: assumptions, spread over the fourteen days. */
export const troubles = {
  yeastDrops: 58,
  batteryEmpty: 100,
  coldStoreFails: 7 * 24 + 9,
  glycolPumpTrips: 10 * 24 + 3,
} as const;

type Moment = {
  /** After the start of the story. */
  readonly hours: number;
  readonly roomCelsius: number;
  readonly done: ReadonlySet<DeedKind>;
};

/** Values without noise, of the channels that the vessel has a sensor for. */
export type Truth = Readonly<Partial<Record<Channel, number>>>;

/** Called once for each step, in order. */
export type Course = (moment: Moment) => Truth;
