/**
 * Which alarms latch: they stay when their condition is over, until a person has looked and resets them.
 * Chosen by us: those where a person could be hurt by coming near, and where a calm reading does not prove that
 * all is well. A burst seal or an opened relief valve also brings pressure down; a sensor in poor air can fail;
 * gas that has left the sensor lies somewhere else. A forecast, a leak's slow fall and everything that harms the
 * drink alone return by themselves. Pure: no I/O, no clock.
 */
import type { AlarmKind } from './alarm.ts';

const latching = {
  stall: false,
  sluggish: false,
  'over-pressure': true,
  'over-pressure-ahead': false,
  refermentation: false,
  leak: false,
  temperature: false,
  'silent-sensor': false,
  'stuck-sensor': false,
  'misreading-sensor': false,
  overshoot: false,
  'time-reached': false,
  'not-boiling': false,
  'slow-cooling': false,
  'too-warm-to-pitch': false,
  'blocked-vent': true,
  'gravity-movement': false,
  'pressure-band': false,
  'food-safety': true,
  'food-safety-ahead': false,
  'low-acid': false,
  'overdue-topping': false,
  'overdue-test': false,
  'refermentation-potential': false,
  'relief-chatter': false,
  'air-danger': true,
  'air-short-term': true,
  'air-working-day': false,
  'low-oxygen': true,
} as const satisfies Record<AlarmKind, boolean>;

export const latches = (kind: AlarmKind): boolean => latching[kind];
