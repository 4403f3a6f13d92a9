/**
 * What a person ticked and typed about a receiver's duty, turned into the body that the JSON interface takes.
 * No vessel ticked means all; no hours typed means day and night. Pure: no I/O, no clock.
 */
import { weekdays } from '../monitoring/alarms/duty-hours.ts';

/** One digit of hours is taken as two: 8:00 is 08:00. */
const timeOf = (text: string): string => (/^\d:/.test(text) ? `0${text}` : text);

export const dutyFromForm = (form: URLSearchParams): unknown => {
  const typed = (name: string): string => form.get(name)?.trim() ?? '';
  const vessels = form.getAll('vessels');
  const days = form.getAll('days');
  const anyHour = ['from', 'to'].some((name) => typed(name) !== '');
  const minutes = typed('afterMinutes');
  return {
    priorities: form.getAll('priorities'),
    vessels: vessels.length === 0 ? null : vessels,
    hours:
      anyHour || (days.length > 0 && days.length < weekdays.length)
        ? {
            zone: typed('zone'),
            from: timeOf(typed('from') === '' && !anyHour ? '00:00' : typed('from')),
            to: timeOf(typed('to') === '' && !anyHour ? '00:00' : typed('to')),
            days,
          }
        : null,
    afterMinutes: minutes === '' ? 0 : Number(minutes.replace(',', '.')),
  };
};

/** The form as a person left it: ticks of one name joined, as the page reads them back. */
export const typedDuty = (form: URLSearchParams): Readonly<Record<string, string>> =>
  Object.fromEntries([...new Set(form.keys())].map((name) => [name, form.getAll(name).join(' ')]));

/** Problems at the fields of the form: those within the hours stand at their own fields. */
export const dutyField = (field: string): string => {
  const [first = '', second = ''] = field.split('.');
  return first === 'hours' ? (second === '' ? 'from' : second) : first;
};
