/**
 * A receiver's duty: which alarms it is told of, when, and whether at once or only once nobody has answered.
 * Pure: no I/O, no clock.
 */
import type { Priority } from './alarm.ts';
import { type DutyHours, nextWithinHours, withinHours } from './duty-hours.ts';

export type Duty = {
  readonly priorities: readonly Priority[];
  /** Null for all vessels. */
  readonly vessels: readonly string[] | null;
  /** Null for day and night. */
  readonly hours: DutyHours | null;
  /** Told only of what nobody has acknowledged for so long; 0 is told at once. */
  readonly afterMinutes: number;
};

export const priorities = ['high', 'medium', 'low'] as const satisfies readonly Priority[];

/** What a receiver does where nobody has said otherwise: it is told of everything, at once. */
export const wholeDuty: Duty = { priorities, vessels: null, hours: null, afterMinutes: 0 };

/** Nothing has to be remembered of whom it was told of. */
export const isUnconditional = ({ hours, afterMinutes }: Duty): boolean =>
  hours === null && afterMinutes === 0;

const covers = ({ vessels }: Duty, vessel: string): boolean =>
  vessels === null || vessels.includes(vessel);

/** Whether an alarm is any of its business; what can wait for the next visit is never passed on. */
const takes = (duty: Duty, vessel: string, priority: Priority): boolean =>
  covers(duty, vessel) &&
  duty.priorities.includes(priority) &&
  (priority !== 'low' || duty.afterMinutes === 0);

const isOn = ({ hours }: Duty, now: number): boolean => hours === null || withinHours(hours, now);

/**
 * Whether a step of an alarm is told the moment it happens. One that is told only of what nobody has answered
 * hears what becomes of it from then on.
 */
export const hearsStep = (
  duty: Duty,
  { vessel, priority }: { readonly vessel: string; readonly priority: Priority },
  wasCalled: boolean,
  now: number,
): boolean =>
  takes(duty, vessel, priority) && isOn(duty, now) && (duty.afterMinutes === 0 || wasCalled);

/** Something that happened and asks nothing of anybody goes to those who take what can wait. */
export const hearsHappening = (duty: Duty, vessel: string, now: number): boolean =>
  takes(duty, vessel, 'low') && isOn(duty, now);

/** A flood is summed up for those who are told of anything urgent at once. */
export const hearsFlood = (duty: Duty, vessels: readonly string[], now: number): boolean =>
  duty.afterMinutes === 0 &&
  duty.priorities.some((priority) => priority !== 'low') &&
  vessels.some((vessel) => covers(duty, vessel)) &&
  isOn(duty, now);

/** When an alarm that has called since a moment, and that nobody answers, is told; null if never. */
export const callDueAt = (
  duty: Duty,
  {
    vessel,
    priority,
    since,
  }: { readonly vessel: string; readonly priority: Priority; readonly since: number },
): number | null => {
  if (!takes(duty, vessel, priority)) return null;
  const due = since + duty.afterMinutes * 60;
  return duty.hours === null ? due : nextWithinHours(duty.hours, due);
};
