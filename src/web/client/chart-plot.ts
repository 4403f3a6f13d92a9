/** One panel as a plot: readings as an envelope, curve and forecast band, and the reading at a moment. */
import uPlot from 'uplot';
import type { ChartMark } from '../chart-data.ts';
import { chartWords } from '../messages.ts';
import { numberText } from '../pages/quantity.ts';
import { drawLimits, drawMarks, drawPresent } from './chart-drawing.ts';
import type { Panel } from './chart-panels.ts';
import { canvasFont, colour } from './colour.ts';
import { localMoment } from './local-time.ts';

/** Panels share their cursor and their enlargement under this name. */
const shared = 'vessel';
const axisWidth = 58;

const clock = '{HH}:{mm}';
/** Day and month under the first tick of each day; hours in twenty-four. */
const timeTicks: (string | number | null)[][] = [
  [31_536_000, '{YYYY}', null, null, null, null, null, null, 1],
  [2_419_200, '{MMM}', '\n{YYYY}', null, null, null, null, null, 1],
  [86_400, '{D} {MMM}', null, null, null, null, null, null, 1],
  [3600, clock, '\n{D} {MMM}', null, '\n{D} {MMM}', null, null, null, 1],
  [60, clock, '\n{D} {MMM}', null, '\n{D} {MMM}', null, null, null, 1],
  [1, '{HH}:{mm}:{ss}', '\n{D} {MMM}', null, '\n{D} {MMM}', null, null, null, 1],
];

const readingAt = (panel: Panel, index: number | null): string => {
  const [times, low, high, curve] = panel.columns;
  if (index === null) return '';
  const time = times[index];
  if (time === undefined) return '';
  const lowest = low?.[index];
  const highest = high?.[index];
  const expected = curve?.[index];
  const text = (value: number): string =>
    numberText(value, panel.channel === 'gravity' ? 4 : panel.decimals);
  const parts = [
    localMoment(time * 1000),
    ...(typeof lowest === 'number' && typeof highest === 'number'
      ? [text(lowest) === text(highest) ? text(lowest) : `${text(lowest)} to ${text(highest)}`]
      : []),
    ...(typeof expected === 'number'
      ? [`${chartWords.expected.toLowerCase()} ${text(expected)}`]
      : []),
  ];
  return parts.join(', ');
};

const readingSeries = (): uPlot.Series => ({
  stroke: () => colour('--ink'),
  width: 1.25,
  points: { size: 5, width: 0, fill: () => colour('--ink') },
});

const curveSeries = (): readonly uPlot.Series[] => [
  { stroke: () => colour('--accent'), width: 2.25, dash: [8, 5], points: { show: false } },
  { width: 0, points: { show: false } },
  { width: 0, points: { show: false } },
];

export type PlotFrame = {
  readonly marks: readonly ChartMark[];
  /** Unix seconds. */
  readonly now: number;
  readonly span: readonly [number, number];
  /** The first panel is the tallest and carries the pennants, the last carries the time axis. */
  readonly first: boolean;
  readonly last: boolean;
};

export type PanelPlot = {
  readonly plot: uPlot;
  /** Shows later data of the same kind; an enlarged span stays as the person set it. */
  readonly renew: (panel: Panel, frame: PlotFrame) => void;
  readonly showWhole: () => void;
};

export const plotPanel = (
  firstPanel: Panel,
  firstFrame: PlotFrame,
  place: HTMLElement,
  readout: HTMLElement,
  onWhole: () => void,
): PanelPlot => {
  let panel = firstPanel;
  let frame = firstFrame;
  const height = (frame.first ? 250 : 150) + (frame.last ? 44 : 0);
  const tick = { stroke: () => colour('--rule'), width: 1 };
  const plot = new uPlot(
    {
      width: place.clientWidth,
      height,
      padding: [8, 10, frame.last ? 0 : 8, 0],
      legend: { show: false },
      cursor: {
        sync: { key: shared, scales: ['x', null] },
        drag: { x: true, y: false, setScale: true },
        bind: {
          dblclick: () => () => {
            onWhole();
            return null;
          },
        },
        points: { size: 7 },
        y: false,
      },
      scales: {
        x: { min: frame.span[0], max: frame.span[1] },
        y: { range: () => [panel.range[0], panel.range[1]] },
      },
      axes: [
        {
          size: frame.last ? 44 : 0,
          font: canvasFont(13),
          stroke: () => colour('--ink-soft'),
          grid: tick,
          ticks: { show: false },
          values: frame.last
            ? (timeTicks as uPlot.Axis.Values)
            : (_plot, ticks) => ticks.map(() => ''),
        },
        {
          size: axisWidth,
          gap: 6,
          font: canvasFont(13),
          stroke: () => colour('--ink-soft'),
          grid: tick,
          ticks: { show: false },
          space: 34,
          values: (_plot, ticks) => ticks.map((value) => numberText(value, panel.decimals)),
        },
      ],
      series: [{}, readingSeries(), readingSeries(), ...(panel.curved ? curveSeries() : [])],
      bands: [
        { series: [2, 1], fill: () => colour('--reading-fill') },
        ...(panel.curved
          ? [{ series: [5, 4] as [number, number], fill: () => colour('--forecast-fill') }]
          : []),
      ],
      hooks: {
        drawAxes: [(drawn) => drawPresent(drawn, frame.now, frame.last)],
        draw: [
          (drawn) => {
            drawLimits(drawn, panel.limits);
            drawMarks(drawn, frame.marks, frame.first);
          },
        ],
        setCursor: [
          (drawn) => {
            readout.textContent = readingAt(panel, drawn.cursor.idx ?? null);
          },
        ],
      },
    },
    panel.columns as uPlot.AlignedData,
    place,
  );
  const showWhole = (): void => plot.setScale('x', { min: frame.span[0], max: frame.span[1] });
  return {
    plot,
    showWhole,
    renew: (laterPanel, laterFrame) => {
      const { min, max } = plot.scales.x ?? {};
      const whole = min === frame.span[0] && max === frame.span[1];
      panel = laterPanel;
      frame = laterFrame;
      plot.setData(panel.columns as uPlot.AlignedData, false);
      plot.setScale(
        'x',
        whole || min === undefined || max === undefined
          ? { min: frame.span[0], max: frame.span[1] }
          : { min, max },
      );
    },
  };
};
