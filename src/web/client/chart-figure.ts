/**
 * The panels of a chart with all that belongs to them on the page: titles, reading at a moment, key,
 * numbered marks, summary and table. Shows later data in place, so that an enlarged span survives.
 */
import type { ChartData } from '../chart-data.ts';
import { chartWords } from '../messages.ts';
import { cellarMilliseconds } from './cellar-clock.ts';
import { type Panel, panelsOf } from './chart-panels.ts';
import { type PanelPlot, type PlotFrame, plotPanel } from './chart-plot.ts';
import { markListOf, summaryOf, tableOf } from './chart-table.ts';
import { made } from './made.ts';

export type ChartFigure = {
  /** False where the data hold no reading. */
  readonly show: (data: ChartData) => boolean;
  readonly showWhole: () => void;
  readonly fit: () => void;
  readonly redraw: () => void;
};

const extentOf = (data: ChartData, panels: readonly Panel[]): readonly [number, number] => {
  const curve = panels.some((panel) => panel.curved) ? (data.curve?.times ?? []) : [];
  let first = Number.POSITIVE_INFINITY;
  let last = Number.NEGATIVE_INFINITY;
  for (const time of [...data.times, ...curve]) {
    first = Math.min(first, time);
    last = Math.max(last, time);
  }
  return [first, last];
};

/** Panels of the same channels, one of them with or without a curve as before, can be renewed. */
const kindOf = (panels: readonly Panel[]): string =>
  panels.map((panel) => `${panel.channel}${panel.curved ? '+' : ''}`).join(' ');

export const chartFigure = (place: HTMLElement, firstChannel: string | undefined): ChartFigure => {
  const panelsPlace = made('div', 'panels');
  panelsPlace.setAttribute('role', 'img');
  const touch = made('p', 'hint', chartWords.touch);
  const below = made('div', 'below-chart');
  const details = made('details', 'chart-table');
  const scroller = made('section', 'scroller');
  scroller.tabIndex = 0;
  scroller.setAttribute('aria-label', chartWords.table);
  details.append(made('summary', '', chartWords.table), scroller);
  const parts = [panelsPlace, touch, below, details];
  const hideAll = (hidden: boolean): void => {
    for (const part of parts) part.hidden = hidden;
  };
  // An empty picture has no name yet to be read out, and an empty table no rows.
  hideAll(true);
  place.append(...parts);

  let plots: readonly PanelPlot[] = [];
  let kind = '';

  const showWhole = (): void => {
    for (const { showWhole: show } of plots) show();
  };

  const build = (panels: readonly Panel[], frames: readonly PlotFrame[]): void => {
    for (const { plot } of plots) plot.destroy();
    panelsPlace.replaceChildren();
    plots = panels.flatMap((panel, index) => {
      const frame = frames[index];
      if (frame === undefined) return [];
      const figure = made('figure', 'panel');
      const caption = made('figcaption', '');
      const readout = made('span', 'readout');
      caption.append(made('span', 'panel-title', panel.title), readout);
      const plot = made('div', 'plot');
      figure.append(caption, plot);
      panelsPlace.append(figure);
      return [plotPanel(panel, frame, plot, readout, showWhole)];
    });
  };

  const keyOf = (panels: readonly Panel[]): HTMLElement => {
    const key = made('p', 'key');
    key.append(made('span', 'key-reading', chartWords.readingKey));
    if (panels.some((panel) => panel.curved))
      key.append(made('span', 'key-curve', chartWords.curveKey));
    return key;
  };

  const show = (data: ChartData): boolean => {
    const panels = panelsOf(data, firstChannel);
    hideAll(panels.length === 0);
    const span = extentOf(data, panels);
    const marks = data.marks
      .filter((mark) => mark.at >= span[0] && mark.at <= span[1])
      .toSorted((one, other) => one.at - other.at);
    const frames = panels.map((_panel, index) => ({
      marks,
      now: cellarMilliseconds() / 1000,
      span,
      first: index === 0,
      last: index === panels.length - 1,
    }));
    if (kindOf(panels) === kind)
      plots.forEach((plot, index) => {
        const panel = panels[index];
        const frame = frames[index];
        if (panel !== undefined && frame !== undefined) plot.renew(panel, frame);
      });
    else build(panels, frames);
    kind = kindOf(panels);
    if (panels.length === 0) return false;
    panelsPlace.setAttribute('aria-label', summaryOf(panels));
    below.replaceChildren(keyOf(panels), ...(marks.length > 0 ? [markListOf(marks)] : []));
    scroller.replaceChildren(tableOf(panels, span));
    return true;
  };

  return {
    show,
    showWhole,
    fit: () => {
      for (const { plot } of plots) {
        const width = plot.root.parentElement?.clientWidth ?? plot.width;
        if (width > 0 && width !== plot.width) plot.setSize({ width, height: plot.height });
      }
    },
    redraw: () => {
      for (const { plot } of plots) plot.redraw(false);
    },
  };
};
