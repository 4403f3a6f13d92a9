/**
 * Rewrites the server's UTC moments in the reader's own time zone and keeps ages growing, also while
 * the network is gone. The machine's form, `datetime`, is never touched.
 */
import { ageText } from '../pages/age.ts';
import { cellarMilliseconds } from './cellar-clock.ts';

const withinYear = new Intl.DateTimeFormat(undefined, {
  weekday: 'short',
  day: 'numeric',
  month: 'short',
  hour: '2-digit',
  minute: '2-digit',
  hourCycle: 'h23',
});
const anyYear = new Intl.DateTimeFormat(undefined, {
  day: 'numeric',
  month: 'short',
  year: 'numeric',
  hour: '2-digit',
  minute: '2-digit',
  hourCycle: 'h23',
});

/** Half a year: nearer, the weekday says more than the year; chosen by us. */
const nearMilliseconds = 182 * 86_400_000;

export const localMoment = (milliseconds: number): string =>
  (Math.abs(cellarMilliseconds() - milliseconds) < nearMilliseconds ? withinYear : anyYear).format(
    milliseconds,
  );

export const localise = (root: ParentNode): void => {
  for (const element of root.querySelectorAll('time[data-show]')) {
    if (!(element instanceof HTMLTimeElement)) continue;
    const milliseconds = Date.parse(element.dateTime);
    if (Number.isNaN(milliseconds)) continue;
    const text =
      element.dataset.show === 'age'
        ? ageText((cellarMilliseconds() - milliseconds) / 1000)
        : localMoment(milliseconds);
    if (element.textContent !== text) element.textContent = text;
  }
};
