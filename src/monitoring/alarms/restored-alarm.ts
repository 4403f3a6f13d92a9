/**
 * Alarms and changes as they were kept before a field was added, brought to the present shape. What was kept by an
 * older Gyleward stays readable for as long as a cellar keeps it. Pure: no I/O, no clock.
 */
import type { Alarm, AlarmChange } from './alarm.ts';

/** Fields that came later, with what their absence means. */
const laterFields = {
  reAlarmAt: null,
  setAside: null,
  chattering: false,
  latest: null,
  source: null,
} as const satisfies Partial<Alarm>;

export const restoredAlarm = (kept: Alarm): Alarm => ({ ...laterFields, ...kept });

export const restoredChange = (kept: AlarmChange): AlarmChange => ({
  ...kept,
  note: kept.note ?? null,
  alarm: restoredAlarm(kept.alarm),
});
