/**
 * The chart of one vessel: fetches its data, draws one panel a channel on a shared time axis, keeps
 * them to the width of the page and to light or dark, and fetches again when the page was refreshed.
 */
import type uPlot from 'uplot';
import type { ChartData } from '../chart-data.ts';
import { chartWords } from '../messages.ts';
import { panelsOf } from './chart-panels.ts';
import { plotPanel } from './chart-plot.ts';
import { markListOf, summaryOf, tableOf } from './chart-table.ts';
import { freshEvent } from './fresh-event.ts';

type Span = keyof typeof chartWords.spans;

const spanSeconds = { all: null, week: 7 * 86_400, day: 86_400 } as const satisfies Record<
  Span,
  number | null
>;
const spanNames = ['all', 'week', 'day'] as const satisfies readonly Span[];

const made = (name: string, className: string, text = ''): HTMLElement => {
  const element = document.createElement(name);
  element.className = className;
  element.textContent = text;
  return element;
};

const startChart = (place: HTMLElement, source: string): void => {
  const firstChannel = place.dataset.first;
  const state = made('p', 'chart-state', chartWords.loading);
  state.setAttribute('role', 'status');
  const spans = made('div', 'spans');
  spans.setAttribute('role', 'group');
  spans.setAttribute('aria-label', chartWords.span);
  const panels = made('div', 'panels');
  panels.setAttribute('role', 'img');
  const touch = made('p', 'hint', chartWords.touch);
  const below = made('div', 'below-chart');
  const details = made('details', 'chart-table');
  const scroller = made('section', 'scroller');
  scroller.tabIndex = 0;
  scroller.setAttribute('aria-label', chartWords.table);
  details.append(made('summary', '', chartWords.table), scroller);
  place.replaceChildren(spans, state, panels, touch, below, details);

  let plots: readonly uPlot[] = [];
  let span: Span = 'all';
  let asked = 0;

  const clear = (): void => {
    for (const plot of plots) plot.destroy();
    plots = [];
    panels.replaceChildren();
    below.replaceChildren();
    scroller.replaceChildren();
  };

  const draw = (data: ChartData): void => {
    clear();
    const shown = panelsOf(data, firstChannel);
    const drawn = shown.length > 0;
    state.textContent = drawn ? '' : chartWords.none;
    touch.hidden = !drawn;
    details.hidden = !drawn;
    if (!drawn) return;
    const times = [
      ...data.times,
      ...(shown.some((panel) => panel.curved) ? (data.curve?.times ?? []) : []),
    ];
    const extent = [
      times.reduce((one, other) => Math.min(one, other), Number.POSITIVE_INFINITY),
      times.reduce((one, other) => Math.max(one, other), Number.NEGATIVE_INFINITY),
    ] as const;
    const marks = data.marks
      .filter((mark) => mark.at >= extent[0] && mark.at <= extent[1])
      .toSorted((one, other) => one.at - other.at);
    plots = shown.map((panel, index) => {
      const figure = made('figure', 'panel');
      const caption = made('figcaption', '');
      const readout = made('span', 'readout');
      caption.append(made('span', 'panel-title', panel.title), readout);
      const plot = made('div', 'plot');
      figure.append(caption, plot);
      panels.append(figure);
      return plotPanel(
        panel,
        {
          marks,
          now: Date.now() / 1000,
          span: extent,
          first: index === 0,
          last: index === shown.length - 1,
        },
        plot,
        readout,
      );
    });
    panels.setAttribute('aria-label', summaryOf(shown));
    const key = made('p', 'key');
    key.append(made('span', 'key-reading', chartWords.readingKey));
    if (shown.some((panel) => panel.curved))
      key.append(made('span', 'key-curve', chartWords.curveKey));
    below.append(key);
    if (marks.length > 0) below.append(markListOf(marks));
    scroller.append(tableOf(shown, extent));
  };

  const load = async (): Promise<void> => {
    asked += 1;
    const turn = asked;
    const seconds = spanSeconds[span];
    const query = seconds === null ? '' : `?from=${Math.floor(Date.now() / 60_000) * 60 - seconds}`;
    try {
      const answer = await fetch(`${source}${query}`, {
        headers: { accept: 'application/json' },
        cache: 'no-cache',
      });
      if (!answer.ok) throw new Error(`the chart's data answered ${answer.status}`);
      const data: ChartData = await answer.json();
      if (turn === asked) draw(data);
    } catch {
      if (turn === asked) state.textContent = chartWords.failed;
    }
  };

  for (const name of spanNames) {
    const button = made('button', 'span', chartWords.spans[name]);
    button.setAttribute('type', 'button');
    button.setAttribute('aria-pressed', String(name === span));
    button.addEventListener('click', () => {
      span = name;
      for (const other of spans.children)
        other.setAttribute('aria-pressed', String(other === button));
      void load();
    });
    spans.append(button);
  }

  new ResizeObserver(() => {
    for (const plot of plots) {
      const width = plot.root.parentElement?.clientWidth ?? plot.width;
      if (width > 0 && width !== plot.width) plot.setSize({ width, height: plot.height });
    }
  }).observe(place);
  matchMedia('(prefers-color-scheme: dark)').addEventListener('change', () => {
    for (const plot of plots) plot.redraw(false);
  });
  document.addEventListener(freshEvent, () => void load());
  void document.fonts.ready.then(load);
};

for (const place of document.querySelectorAll<HTMLElement>('[data-chart]')) {
  const source = place.dataset.chart;
  if (source !== undefined) startChart(place, source);
}
