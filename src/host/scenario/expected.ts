/** What Gyleward must say of the fourteen days at Skerrow Yard, and nothing else. Pure data. */
import type { AlarmKind } from '../../monitoring/alarms/alarm.ts';
import type { Happening } from '../../monitoring/watched.ts';
import type { VesselName } from './skerrow-yard.ts';

export type Expected =
  | {
      readonly kind: 'alarm';
      readonly vessel: VesselName;
      readonly alarm: AlarmKind;
      /** Whether what people do ends it within the fourteen days. */
      readonly returns: boolean;
    }
  | {
      readonly kind: 'happening';
      readonly vessel: VesselName;
      readonly happening: Happening['kind'];
    };

/** Each comes once. */
export const expected: readonly Expected[] = [
  { kind: 'alarm', vessel: 'fermenter-2', alarm: 'stall', returns: false },
  { kind: 'alarm', vessel: 'fermenter-3', alarm: 'silent-sensor', returns: true },
  { kind: 'alarm', vessel: 'keg-7', alarm: 'over-pressure-ahead', returns: true },
  { kind: 'alarm', vessel: 'bright-tank', alarm: 'temperature', returns: true },
  { kind: 'happening', vessel: 'fermenter-1', happening: 'fermentation-finished' },
  { kind: 'happening', vessel: 'fermenter-3', happening: 'fermentation-finished' },
];
