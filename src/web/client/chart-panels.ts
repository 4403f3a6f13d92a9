/**
 * What each panel of the chart shows, worked out of the data: its columns in shown units, aligned on
 * one time axis, and the lines that limit it. Pure: no I/O, no clock.
 */
import uPlot from 'uplot';
import { type Channel, channelNames } from '../../science/units/channel.ts';
import type { ChartData, ChartSeries } from '../chart-data.ts';
import { chartRange } from '../chart-range.ts';
import { channelWords, chartWords } from '../messages.ts';
import { barText, celsiusText, gravityText, shownAs } from '../pages/quantity.ts';

export type LimitLine = {
  readonly value: number;
  readonly words: string;
  /** A hard line is where someone can be hurt; a soft one is where the drink suffers. */
  readonly hard: boolean;
  readonly dashed: boolean;
  /** Where the words stand, so that neighbours and the readings leave them room. */
  readonly end: 'left' | 'right';
};

type Column = (number | null | undefined)[];

export type Panel = {
  readonly channel: Channel;
  readonly title: string;
  readonly unit: string;
  readonly decimals: number;
  /** Times, lowest, highest; for gravity with a fit also curve, its low and its high. */
  readonly columns: [number[], ...Column[]];
  readonly curved: boolean;
  readonly limits: readonly LimitLine[];
  readonly range: readonly [number, number];
};

/** First the channels that fermentation and carbonation are judged by, then whatever else was sent. */
const firstChannels: readonly Channel[] = ['gravity', 'temperature', 'gauge-pressure'];

/**
 * An empty stretch this many times the usual distance between readings is a gap in the line; chosen
 * by us. Smaller, and an irregular sensor looks broken; larger, and silence is drawn over.
 */
const gapFactor = 4;

/** Empty steps between neighbouring readings of a slow sensor become "nothing here", which is no gap. */
const bridged = (values: readonly (number | null)[], scale: number): Column => {
  const filled = values.flatMap((value, index) => (value === null ? [] : [index]));
  const steps = filled.slice(1).map((index, place) => index - (filled[place] ?? index));
  const usual = steps.toSorted((one, other) => one - other)[Math.floor(steps.length / 2)] ?? 1;
  const column: Column = values.map((value) => (value === null ? null : value * scale));
  steps.forEach((step, place) => {
    if (step > usual * gapFactor) return;
    const start = filled[place] ?? 0;
    for (let index = start + 1; index < start + step; index++) column[index] = undefined;
  });
  return column;
};

const limitsOf = (channel: Channel, limits: ChartData['limits']): readonly LimitLine[] => {
  const line = (
    value: number | null,
    words: string,
    look: Pick<LimitLine, 'hard' | 'dashed' | 'end'>,
  ): readonly LimitLine[] =>
    value === null ? [] : [{ value: value * shownAs[channel].scale, words, ...look }];
  if (channel === 'gravity') {
    const terminal = limits.expectedTerminalGravity;
    return line(terminal, chartWords.expectedEnd(gravityText(terminal ?? 0)), {
      hard: false,
      dashed: true,
      end: 'left',
    });
  }
  if (channel === 'temperature' && limits.temperatureBand !== null) {
    const soft = { hard: false, dashed: false, end: 'right' } as const;
    const { lowCelsius, highCelsius } = limits.temperatureBand;
    return [
      ...line(highCelsius, chartWords.warmest(celsiusText(highCelsius)), soft),
      ...line(lowCelsius, chartWords.coldest(celsiusText(lowCelsius)), soft),
    ];
  }
  if (channel === 'gauge-pressure') {
    const { ratedGaugePressurePascal: rated, reliefGaugePressurePascal: relief } = limits;
    return [
      ...line(rated, chartWords.rated(barText(rated ?? 0)), {
        hard: true,
        dashed: false,
        end: 'right',
      }),
      ...line(relief, chartWords.relief(barText(relief ?? 0)), {
        hard: true,
        dashed: true,
        end: 'left',
      }),
    ];
  }
  return [];
};

const panelOf = (channel: Channel, series: ChartSeries, data: ChartData): Panel => {
  const { scale, unit } = shownAs[channel];
  const decimals = channel === 'gravity' ? 3 : shownAs[channel].decimals;
  const low = bridged(series.low, scale);
  const high = bridged(series.high, scale);
  const curve = channel === 'gravity' ? data.curve : null;
  const readings: [number[], ...Column[]] = [[...data.times], low, high];
  const limits = limitsOf(channel, data.limits);
  const columns =
    curve === null
      ? readings
      : (uPlot.join([
          readings as uPlot.AlignedData,
          [[...curve.times], [...curve.value], [...curve.low], [...curve.high]],
        ]) as [number[], ...Column[]]);
  const shown = [
    ...[low, high].flatMap((column) => column.filter((value) => typeof value === 'number')),
    ...(curve === null ? [] : [...curve.value, curve.low.at(-1) ?? 1, curve.high.at(-1) ?? 1]),
    ...limits.map((limit) => limit.value),
  ];
  return {
    channel,
    title: `${channelWords[channel]}, ${unit}`,
    unit,
    decimals,
    columns,
    curved: curve !== null,
    limits,
    range: chartRange(channel, shown),
  };
};

/** One panel a channel that has readings in the span: first the one asked for, then by weight. */
export const panelsOf = (data: ChartData, first: string | undefined): readonly Panel[] =>
  [...firstChannels, ...channelNames.filter((name) => !firstChannels.includes(name))]
    .toSorted((one, other) => Number(other === first) - Number(one === first))
    .flatMap((channel) => {
      const series = data.series[channel];
      return series?.low.some((value) => value !== null) === true
        ? [panelOf(channel, series, data)]
        : [];
    });
