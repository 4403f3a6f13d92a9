/**
 * The chart of one vessel: fetches its data for the span chosen, shows them, keeps the picture to the
 * width of the page and to light or dark, and fetches again when the page was refreshed.
 */
import type { ChartData } from '../chart-data.ts';
import { chartWords } from '../messages.ts';
import { cellarMilliseconds } from './cellar-clock.ts';
import { chartFigure } from './chart-figure.ts';
import { freshEvent } from './fresh-event.ts';
import { made } from './made.ts';

type Span = keyof typeof chartWords.spans;

const spanSeconds = { all: null, week: 7 * 86_400, day: 86_400 } as const satisfies Record<
  Span,
  number | null
>;
const spanNames = ['all', 'week', 'day'] as const satisfies readonly Span[];

/** Whole minutes, so that a span asked for twice within one gives the same address. */
const addressOf = (source: string, span: Span): string => {
  const seconds = spanSeconds[span];
  if (seconds === null) return source;
  return `${source}?from=${Math.floor(cellarMilliseconds() / 60_000) * 60 - seconds}`;
};

const startChart = (place: HTMLElement, source: string): void => {
  const spans = made('div', 'spans');
  spans.setAttribute('role', 'group');
  spans.setAttribute('aria-label', chartWords.span);
  const state = made('p', 'chart-state', chartWords.loading);
  state.setAttribute('role', 'status');
  place.replaceChildren(spans, state);
  const figure = chartFigure(place, place.dataset.first);
  let span: Span = 'all';
  let asked = 0;

  const load = async (): Promise<boolean> => {
    asked += 1;
    const turn = asked;
    try {
      const answer = await fetch(addressOf(source, span), {
        headers: { accept: 'application/json' },
        cache: 'no-cache',
      });
      if (!answer.ok) throw new Error(`the chart's data answered ${answer.status}`);
      const data: ChartData = await answer.json();
      if (turn !== asked) return false;
      state.textContent = figure.show(data) ? '' : chartWords.none;
      return true;
    } catch {
      if (turn === asked) state.textContent = chartWords.failed;
      return false;
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
      void load().then((shown) => {
        if (shown) figure.showWhole();
      });
    });
    spans.append(button);
  }

  new ResizeObserver(figure.fit).observe(place);
  matchMedia('(prefers-color-scheme: dark)').addEventListener('change', figure.redraw);
  document.addEventListener(freshEvent, () => void load());
  void document.fonts.ready.then(load);
};

for (const place of document.querySelectorAll<HTMLElement>('[data-chart]')) {
  const source = place.dataset.chart;
  if (source !== undefined) startChart(place, source);
}
