/** A flood in words, for the page, the webhook and the terminal. Pure: no I/O, no clock. */

import { duration } from '../words/spoken.ts';
import type { AlarmKind } from './alarm.ts';
import type { NewsText } from './alarm-text.ts';
import { alarmTitles } from './alarm-words.ts';
import type { Flood, FloodChange } from './flood.ts';

export const floodText = (
  cellarTitle: string,
  { transition, at, flood }: FloodChange,
): NewsText => {
  const counted = `${flood.count} alarms on ${flood.vessels.length} ${flood.vessels.length === 1 ? 'vessel' : 'vessels'}`;
  return transition === 'began'
    ? {
        headline: `${cellarTitle}: a flood of alarms has begun.`,
        lines: [
          { heading: 'Seen', words: `${counted} within ten minutes: ${kindsOf(flood)}.` },
          {
            heading: 'Check first',
            words:
              'So many at once often share one cause: power, network, cooling or gas supply. See to those of high priority first; each is told by itself.',
          },
        ],
      }
    : {
        headline: `${cellarTitle}: the flood of alarms is over.`,
        lines: [
          {
            heading: 'Seen',
            words: `${counted} in ${duration(at - flood.since)}, at most ${flood.peak} within ten minutes: ${kindsOf(flood)}.`,
          },
        ],
      };
};

const kindsOf = ({ kinds }: Flood): string =>
  Object.entries(kinds)
    .toSorted(([, one], [, other]) => other - one)
    .map(([kind, count]) => `${alarmTitles[kind as AlarmKind]} (${count})`)
    .join(', ');
