/** The chart in words and in a table, for whoever cannot see a canvas or wants the figures. */

import { asSentence } from '../../monitoring/words/sentence.ts';
import type { ChartMark } from '../chart-data.ts';
import { alarmWords, channelWords, chartWords, happeningWords } from '../messages.ts';
import { numberText } from '../pages/quantity.ts';
import type { Panel } from './chart-panels.ts';
import { localMoment } from './local-time.ts';
import { made } from './made.ts';

/** Rows enough to follow a batch, few enough to read; chosen by us. */
const rowCount = 24;

const header = (text: string, scope: 'col' | 'row'): HTMLElement => {
  const cell = made('th', '', text);
  cell.setAttribute('scope', scope);
  return cell;
};

const figure = (panel: Panel, value: number): string =>
  numberText(value, panel.channel === 'gravity' ? 4 : panel.decimals);

/** Lowest and highest of a panel's readings between two times. */
const between = (panel: Panel, from: number, to: number): readonly [number, number] | null => {
  const [times, lows, highs] = panel.columns;
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  times.forEach((time, index) => {
    if (time < from || time >= to) return;
    const lowest = lows?.[index];
    const highest = highs?.[index];
    if (typeof lowest === 'number') low = Math.min(low, lowest);
    if (typeof highest === 'number') high = Math.max(high, highest);
  });
  return low <= high ? [low, high] : null;
};

const expectedNear = (panel: Panel, time: number): number | null => {
  const [times, , , curve] = panel.columns;
  let nearest: number | null = null;
  let distance = Number.POSITIVE_INFINITY;
  times.forEach((candidate, index) => {
    const value = curve?.[index];
    if (typeof value !== 'number' || Math.abs(candidate - time) >= distance) return;
    distance = Math.abs(candidate - time);
    nearest = value;
  });
  return nearest;
};

export const tableOf = (
  panels: readonly Panel[],
  span: readonly [number, number],
): HTMLTableElement => {
  const table = document.createElement('table');
  const head = table.createTHead().insertRow();
  head.append(header(chartWords.time, 'col'));
  for (const panel of panels) {
    head.append(header(panel.title, 'col'));
    if (panel.curved) head.append(header(chartWords.expected, 'col'));
  }
  const body = table.createTBody();
  const step = (span[1] - span[0]) / rowCount;
  for (let index = 0; index < rowCount; index++) {
    const from = span[0] + index * step;
    const found = panels.map((panel) => between(panel, from, from + step));
    const expected = panels.map((panel) =>
      panel.curved ? expectedNear(panel, from + step / 2) : null,
    );
    if (found.every((pair) => pair === null) && expected.every((value) => value === null)) continue;
    const row = body.insertRow();
    row.append(header(localMoment((from + step / 2) * 1000), 'row'));
    panels.forEach((panel, place) => {
      const pair = found[place] ?? null;
      const [low, high] = pair === null ? ['', ''] : pair.map((value) => figure(panel, value));
      row.insertCell().textContent = low === high ? (low ?? '') : `${low} to ${high}`;
      if (!panel.curved) return;
      const value = expected[place] ?? null;
      row.insertCell().textContent = value === null ? '' : figure(panel, value);
    });
  }
  return table;
};

/** One sentence a panel: where it began, where it is, between what. */
export const summaryOf = (panels: readonly Panel[]): string =>
  panels
    .map((panel) => {
      const [, lows, highs] = panel.columns;
      const low = (lows ?? []).filter((value) => typeof value === 'number');
      const high = (highs ?? []).filter((value) => typeof value === 'number');
      const least = low.reduce((one, other) => Math.min(one, other), Number.POSITIVE_INFINITY);
      const most = high.reduce((one, other) => Math.max(one, other), Number.NEGATIVE_INFINITY);
      return chartWords.summary(
        `${channelWords[panel.channel]} (${panel.unit})`,
        figure(panel, low[0] ?? least),
        figure(panel, high.at(-1) ?? most),
        figure(panel, least),
        figure(panel, most),
      );
    })
    .join(' ');

const titles = { ...alarmWords, ...happeningWords };

export const markListOf = (marks: readonly ChartMark[]): HTMLElement => {
  const list = made('ol', 'marks');
  for (const mark of marks)
    list.append(
      made(
        'li',
        '',
        `${localMoment(mark.at * 1000)}. ${titles[mark.kind]}. ${asSentence(mark.words)}`,
      ),
    );
  return list;
};
