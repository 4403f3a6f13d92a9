/** News as a person at a terminal reads it. Pure: no I/O, no clock. */
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
  return lines.map((one, index) => `      ${(index === 0 ? label : '').padEnd(9)}${one}`);
};

const textWidth = 84;

export const spokenNews = (entry: HistoryEntry): string => {
  if (entry.kind === 'happening') {
    const { at, kind, words } = entry.happening;
    return [
      `${spokenMoment(at)}  ${entry.vesselTitle}: ${kind.replaceAll('-', ' ')}`,
      ...wrapped('', words, textWidth),
    ].join('\n');
  }
  const { alarm, transition, at, by } = entry;
  const head = `${spokenMoment(at)}  ${entry.vesselTitle}: ${alarm.kind.replaceAll('-', ' ')}`;
  if (transition !== 'raised') return `${head}, ${transition}${by === null ? '' : ` by ${by}`}`;
  return [
    `${head}  *** ALARM, priority ${alarm.priority} ***`,
    ...wrapped('seen', alarm.evidence, textWidth),
    ...wrapped('likely', alarm.likelyCauses.join('; '), textWidth),
    ...alarm.checkFirst.flatMap((check, index) =>
      wrapped(index === 0 ? 'check' : '', `${index + 1}. ${check}`, textWidth),
    ),
    ...(alarm.caution === null ? [] : wrapped('caution', alarm.caution, textWidth)),
  ].join('\n');
};
