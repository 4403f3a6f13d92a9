/** News as a person at a terminal reads it. Pure: no I/O, no clock. */
import { happeningText, type NewsText, newsText } from '../../monitoring/alarms/alarm-text.ts';
import { floodText } from '../../monitoring/alarms/flood-text.ts';
import type { HistoryEntry } from './cellar-client.ts';

const moment = new Intl.DateTimeFormat('en-GB', {
  timeZone: 'UTC',
  day: '2-digit',
  month: 'short',
  hour: '2-digit',
  minute: '2-digit',
});

/** Date and time of day in UTC, of Unix seconds. */
export const spokenMoment = (at: number): string => moment.format(at * 1000);

const wrapped = (label: string, text: string, width: number): readonly string[] => {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(' ')) {
    if (line !== '' && line.length + 1 + word.length > width) {
      lines.push(line);
      line = word;
    } else line = line === '' ? word : `${line} ${word}`;
  }
  lines.push(line);
  return lines.map((one, index) => `      ${(index === 0 ? label : '').padEnd(labelWidth)}${one}`);
};

const textWidth = 84;
const labelWidth = 20;

const textOf = (entry: HistoryEntry): NewsText => {
  switch (entry.kind) {
    case 'alarm':
      return newsText(entry.vesselTitle, entry);
    case 'happening':
      return happeningText(entry.vesselTitle, entry.happening);
    case 'flood':
      return floodText('The cellar', entry);
  }
};

/** The words are those of the page and the webhook; only their layout belongs to the terminal. */
export const spokenNews = (entry: HistoryEntry): string => {
  const { headline, lines } = textOf(entry);
  const at = entry.kind === 'happening' ? entry.happening.at : entry.at;
  return [
    `${spokenMoment(at)}  ${headline}`,
    ...lines.flatMap(({ heading, words }) => wrapped(heading, words, textWidth)),
  ].join('\n');
};
