/** What a message says, in the same words as the page and the terminal. No I/O, no clock. */
import { happeningText, type NewsText, newsText } from '../monitoring/alarms/alarm-text.ts';
import { floodText } from '../monitoring/alarms/flood-text.ts';
import { restoredChange } from '../monitoring/alarms/restored-alarm.ts';
import { unansweredText } from '../monitoring/alarms/unanswered-text.ts';
import { isOfVessel, type Message } from './news.ts';

const wordsOf = (message: Message): NewsText => {
  if (isOfVessel(message)) {
    const { vesselTitle, body } = message;
    switch (body.kind) {
      case 'alarm':
        return newsText(vesselTitle, restoredChange(body.change));
      case 'happening':
        return happeningText(vesselTitle, body.happening);
      case 'unanswered':
        return unansweredText(vesselTitle, body.alarm, body.at - body.since);
    }
  }
  const { cellarTitle, body } = message;
  switch (body.kind) {
    case 'flood':
      return floodText(cellarTitle, body.change);
    case 'test':
      return {
        headline: `${cellarTitle}: a test.`,
        lines: [
          {
            heading: '',
            words: `${body.by} tries the way to this receiver. Nothing has happened; there is nothing to do.`,
          },
        ],
      };
    case 'heartbeat':
      return {
        headline: `${cellarTitle}: Gyleward is up.`,
        lines: [
          {
            heading: '',
            words:
              `${body.unanswered} ${body.unanswered === 1 ? 'alarm waits' : 'alarms wait'} for an answer. ` +
              `The next word of this kind comes in ${body.everyMinutes} min; if it does not, see to Gyleward.`,
          },
        ],
      };
  }
};

/** With the link by which the alarm is acknowledged, where there is one. */
export const messageText = (message: Message, link: string | null = null): NewsText => {
  const { headline, lines } = wordsOf(message);
  return {
    headline,
    lines: link === null ? lines : [...lines, { heading: 'To acknowledge it', words: link }],
  };
};
