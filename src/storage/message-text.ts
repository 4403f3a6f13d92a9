/** What a message says, in the same words as the page and the terminal. No I/O, no clock. */
import { happeningText, type NewsText, newsText } from '../monitoring/alarm-text.ts';
import { floodText } from '../monitoring/flood-text.ts';
import { restoredChange } from '../monitoring/restored-alarm.ts';
import { isOfVessel, type Message } from './news.ts';

export const messageText = (message: Message): NewsText => {
  if (isOfVessel(message)) {
    const { vesselTitle, body } = message;
    return body.kind === 'alarm'
      ? newsText(vesselTitle, restoredChange(body.change))
      : happeningText(vesselTitle, body.happening);
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
  }
};
