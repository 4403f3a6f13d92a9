/**
 * What the people of Skerrow Yard do when an alarm reaches them, and how long they take. They act on the
 * alarm and on nothing else: where Gyleward says nothing, the trouble goes on and the story ends badly.
 * Pure: no I/O, no clock.
 */
import type { AlarmKind } from '../../monitoring/alarms/alarm.ts';

export type DeedKind =
  | 'yeast-ordered'
  | 'cold-store-repaired'
  | 'glycol-pump-restarted'
  | 'battery-replaced';

export type Deed = {
  readonly kind: DeedKind;
  /** Hours after the alarm was raised. */
  readonly afterHours: number;
  readonly by: string;
  /** The note with which the alarm is acknowledged. */
  readonly note: string;
};

const brewer = 'Ingrith Vane';
const cellarkeeper = 'Tobin Askew';

/** Null where nobody has anything to do about such an alarm. */
export const deedFor = (vessel: string, kind: AlarmKind): Deed | null => {
  switch (`${vessel} ${kind}`) {
    case 'fermenter-2 stall':
      return {
        kind: 'yeast-ordered',
        afterHours: 9,
        by: brewer,
        note: 'Roused it and nothing came of it. Fresh yeast is on the next boat.',
      };
    case 'keg-7 over-pressure-ahead':
      return {
        kind: 'cold-store-repaired',
        afterHours: 1.5,
        by: cellarkeeper,
        note: 'The cold store had tripped its breaker. Reset it, and kept people out.',
      };
    case 'bright-tank temperature':
      return {
        kind: 'glycol-pump-restarted',
        afterHours: 2,
        by: cellarkeeper,
        note: 'The glycol pump had stopped. Started it again.',
      };
    case 'fermenter-3 silent-sensor':
      return {
        kind: 'battery-replaced',
        afterHours: 3,
        by: cellarkeeper,
        note: 'Its battery was empty. Put a fresh one in.',
      };
    default:
      return null;
  }
};
