/**
 * Marks an unanswered alarm so that the page's script can tell a fresh one from one it has shown, and
 * say which it is. Pure: no I/O, no clock.
 */
import type { Alarm } from '../../monitoring/alarms/alarm.ts';
import { alarmWords } from '../messages.ts';

export const arrival = (
  alarm: Alarm,
  vessel: { readonly vessel: string; readonly title: string },
): Readonly<Record<string, string>> =>
  alarm.state === 'unacknowledged'
    ? {
        'data-unanswered': `${vessel.vessel}/${alarm.alarm}/${alarm.occurrence}/${alarm.priority}`,
        'data-words': `${alarmWords[alarm.kind]}, ${vessel.title}`,
      }
    : {};
