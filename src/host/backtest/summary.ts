/** The outcome of a backtest as plain text for a terminal. Pure: no I/O, no clock. */

import { happeningTitles } from '../../monitoring/alarms/happening-words.ts';
import { capital } from '../../monitoring/words/sentence.ts';
import { channelWords, priorityNames } from '../../web/messages.ts';
import { numberText } from '../../web/pages/quantity.ts';
import type { Outcome } from './outcome.ts';
import {
  alarmsOf,
  alarmTitle,
  cameWords,
  counted,
  dayWords,
  gravityBand,
  missWords,
  momentWords,
  reportZone,
  stoodWords,
  timeMissWords,
  understoodWords,
} from './said.ts';

export const summaryOf = (outcome: Outcome): string => {
  const { history, told, foretold, batch } = outcome;
  const { begins, ends } = history.record;
  const zone = reportZone(history.understood);
  const lines: string[] = [`${batch.title}, from ${outcome.file}`, ''];
  for (const column of history.understood.columns) {
    if (column.kind === 'channel') {
      const count = history.understood.values[column.column - 1] ?? 0;
      lines.push(
        `  column ${column.column}, ${column.heading}: ${channelWords[column.channel].toLowerCase()} in ${column.unit.symbol}, ${counted(count, 'value')}`,
      );
    } else if (column.kind !== 'unnamed') {
      lines.push(
        `  column ${column.column}, ${column.heading}: ${column.kind === 'time' ? 'time' : 'left out'}`,
      );
    }
  }
  lines.push(
    `  ${zone.date(begins)}, ${zone.clock(begins)} to ${zone.date(ends)}, ${zone.clock(ends)}, times in ${zone.name}`,
    ...understoodWords(history).map((words) => `  ${words}`),
    ...batch.supposed.map((words) => `  ${words}`),
    '',
    `${capital(counted(alarmsOf(told).length, 'alarm'))} would have been raised.`,
  );
  for (const [index, mark] of told.marks.entries()) {
    const when = `${zone.moment(mark.at)}, ${dayWords(mark.at, begins)}`;
    lines.push(
      mark.kind === 'alarm'
        ? `  ${index + 1}. ${when}: ${alarmTitle(mark)} (${priorityNames[mark.alarm.priority].toLowerCase()}), ${stoodWords(mark)}\n     ${capital(mark.alarm.evidence)}`
        : `  ${index + 1}. ${when}: ${happeningTitles[mark.happening.kind]}\n     ${capital(mark.happening.words)}`,
    );
  }
  if (typeof foretold !== 'string') {
    const { came, moments } = foretold;
    lines.push(
      '',
      `What was foretold; ${cameWords(came)}, within half a point of it on ${zone.moment(came.halfPointAt)}.`,
    );
    for (const moment of moments) {
      const { terminalGravity, finishAt } = moment.status;
      lines.push(`  ${momentWords(moment)}, ${zone.moment(moment.at)}`);
      lines.push(
        terminalGravity === null
          ? '     no terminal gravity yet'
          : `     terminal ${numberText(terminalGravity.value, 4)}, band ${gravityBand(terminalGravity)}: ${missWords(terminalGravity, came)}`,
      );
      if (finishAt !== null) {
        lines.push(
          `     within half a point on ${zone.moment(finishAt.value)}: ${timeMissWords(finishAt, came)}`,
        );
      }
    }
  }
  return lines.join('\n').replaceAll('\u00a0', ' ');
};
