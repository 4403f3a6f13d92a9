/**
 * The recent course of one channel as a small line, with the change in words beneath. Drawn on the
 * server, hidden from screen readers; the words carry it. Props in, HTML out.
 */
import type { Channel } from '../../science/units/channel.ts';
import type { ChartReadings } from '../chart-data.ts';
import { headlineWords } from '../messages.ts';
import { gravityText, numberText, shownAs } from './quantity.ts';

const width = 132;
const height = 34;
/** Keeps the line and its end dot inside the picture. */
const inset = 4;

/**
 * The least span of the upright axis, in stored units, so that noise does not look like news; chosen
 * by us near ten times a usual instrument's resolution. Smaller, and a still vessel seems to wander.
 */
const leastSpan: Partial<Record<Channel, number>> = {
  gravity: 0.004,
  temperature: 1,
  'gauge-pressure': 10_000,
  'carbon-dioxide': 500,
  oxygen: 0.005,
};

type TrendPoint = { readonly time: number; readonly value: number };

const midpoints = (readings: ChartReadings, channel: Channel): readonly TrendPoint[] => {
  const series = readings.series[channel];
  if (series === undefined) return [];
  return readings.times.flatMap((time, index) => {
    const low = series.low[index] ?? null;
    const high = series.high[index] ?? null;
    return low === null || high === null ? [] : [{ time, value: (low + high) / 2 }];
  });
};

/** Hours up to two days, then days; a trend is too coarse for more. */
const spanWords = (seconds: number): string =>
  headlineWords.hours(Math.max(1, Math.round(seconds / 3600)));

/** Points whose median stands for an end of the line, so that one noisy reading is no change; chosen by us. */
const endPoints = 5;

const medianOf = (points: readonly TrendPoint[]): number =>
  points.map((point) => point.value).toSorted((one, other) => one - other)[
    Math.floor(points.length / 2)
  ] ?? 0;

const changeWords = (channel: Channel, points: readonly TrendPoint[]): string => {
  const first = points[0] ?? { time: 0, value: 0 };
  const last = points.at(-1) ?? first;
  const span = spanWords(last.time - first.time);
  const { scale, decimals, unit } = shownAs[channel];
  const ends = Math.min(endPoints, Math.floor(points.length / 2));
  const change = medianOf(points.slice(-ends)) - medianOf(points.slice(0, ends));
  const by =
    channel === 'gravity'
      ? gravityText(Math.abs(change))
      : `${numberText(Math.abs(change) * scale, decimals)}\u00a0${unit}`;
  if (Number(numberText(Math.abs(change) * scale, channel === 'gravity' ? 3 : decimals)) === 0)
    return headlineWords.still(span);
  return change > 0 ? headlineWords.rose(by, span) : headlineWords.fell(by, span);
};

export const Trend = ({
  readings,
  channel,
}: {
  readonly readings: ChartReadings;
  readonly channel: Channel;
}) => {
  const points = midpoints(readings, channel);
  const first = points[0];
  const last = points.at(-1);
  if (first === undefined || last === undefined || last.time <= first.time) return null;
  const values = points.map((point) => point.value);
  const lowest = Math.min(...values);
  const highest = Math.max(...values);
  const span = Math.max(highest - lowest, leastSpan[channel] ?? 0) || 1;
  const floor = (highest + lowest - span) / 2;
  const across = (time: number): string =>
    (inset + ((time - first.time) / (last.time - first.time)) * (width - 2 * inset)).toFixed(1);
  const up = (value: number): string =>
    (height - inset - ((value - floor) / span) * (height - 2 * inset)).toFixed(1);
  return (
    <div class="trend">
      <svg
        class="trend-line"
        viewBox={`0 0 ${width} ${height}`}
        aria-hidden="true"
        focusable="false"
      >
        <polyline
          points={points.map((point) => `${across(point.time)},${up(point.value)}`).join(' ')}
        />
        <circle cx={across(last.time)} cy={up(last.value)} r="2.6" />
      </svg>
      <p>{changeWords(channel, points)}</p>
    </div>
  );
};
