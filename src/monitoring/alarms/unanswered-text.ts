/** What is told of an alarm that calls and that nobody has answered. Pure: no I/O, no clock. */

import { duration } from '../words/spoken.ts';
import type { Alarm } from './alarm.ts';
import { alarmText, type NewsText, newsText } from './alarm-text.ts';

export const unansweredText = (
  vesselTitle: string,
  alarm: Alarm,
  waitedSeconds: number,
): NewsText => {
  const { title, rank } = alarmText(alarm);
  const { lines } = newsText(vesselTitle, {
    transition: 're-alarmed',
    by: null,
    note: null,
    alarm,
  });
  return {
    headline: `${vesselTitle}: ${title}, not acknowledged for ${duration(waitedSeconds)}. ${rank}.`,
    lines,
  };
};
