/**
 * The panels of a report: one a channel that has readings, gravity, temperature and pressure first, each in the trade's
 * unit with the file's own unit on a second axis; and for each moment looked back from, what was foretold then.
 * Longer than 250 lines because both kinds of panel share range, ticks and curve. Pure: no I/O, no clock.
 */

import { type Channel, channelNames } from '../../../science/units/channel.ts';
import { chartRange } from '../../../web/chart-range.ts';
import { channelWords, chartWords } from '../../../web/messages.ts';
import {
  barText,
  celsiusText,
  channelText,
  gravityText,
  numberText,
  shownAs,
} from '../../../web/pages/quantity.ts';
import type { CsvUnit } from '../../../wire/csv-read-units.ts';
import type { Foretold, ForetoldMoment } from '../foretold.ts';
import type { BacktestRecord } from '../record.ts';
import { momentWords } from '../said.ts';
import type { Panel, PanelLimit, PanelMark } from './panel.ts';
import { pennantsOf } from './pennants.ts';
import { timeTicks, valueTicks } from './ticks.ts';
import { bandOf, box, pathOf, placeX, type Range, type TracePoint, traceOf } from './trace.ts';
import type { Zone } from './when.ts';

/** First the channels that the record is judged by, then whatever else was read. */
const firstChannels = ({ watched }: BacktestRecord): readonly Channel[] =>
  watched.batch?.stage === 'keg' || watched.batch?.stage === 'conditioning'
    ? ['gauge-pressure', 'temperature', 'gravity']
    : ['gravity', 'temperature', 'gauge-pressure'];

export const pointsOf = (record: BacktestRecord, channel: Channel): readonly TracePoint[] =>
  record.rows.flatMap((row) =>
    row.flatMap((point) => (point.channel === channel ? [[point.time, point.value] as const] : [])),
  );

/** Channels that have readings, in the order of their panels. */
export const channelsOf = (record: BacktestRecord): readonly Channel[] => {
  const heard = new Set(record.rows.flatMap((row) => row.map(({ channel }) => channel)));
  const first = firstChannels(record);
  return [...first, ...channelNames.filter((name) => !first.includes(name))].filter((channel) =>
    heard.has(channel),
  );
};

const limitsOf = (channel: Channel, { watched }: BacktestRecord): readonly PanelLimit[] => {
  const { scale } = shownAs[channel];
  const { vessel, batch } = watched;
  const soft = { hard: false, dashed: false, end: 'right' } as const;
  const terminal = batch?.expectedTerminalGravity ?? null;
  const band = batch?.temperatureBand ?? vessel.temperatureBand;
  const rated = vessel.ratedGaugePressurePascal;
  const relief = vessel.reliefGaugePressurePascal;
  if (channel === 'gravity' && terminal !== null) {
    const words = chartWords.expectedEnd(gravityText(terminal));
    return [{ value: terminal, words, hard: false, dashed: true, end: 'left' }];
  }
  if (channel === 'temperature' && band !== null) {
    return [
      {
        value: band.highCelsius,
        words: chartWords.warmest(celsiusText(band.highCelsius)),
        ...soft,
      },
      { value: band.lowCelsius, words: chartWords.coldest(celsiusText(band.lowCelsius)), ...soft },
    ];
  }
  if (channel !== 'gauge-pressure') return [];
  const hard = (value: number | null, words: (bar: string) => string, dashed: boolean) =>
    value === null
      ? []
      : [
          {
            value: value * scale,
            words: words(barText(value)),
            hard: true,
            dashed,
            end: dashed ? 'left' : 'right',
          } as const,
        ];
  return [...hard(rated, chartWords.rated, false), ...hard(relief, chartWords.relief, true)];
};

/** The file's own unit of a channel, where it is another than the one shown. */
export type OwnUnits = Readonly<Partial<Record<Channel, CsvUnit>>>;

const ticksOf = (channel: Channel, range: Range, unit: CsvUnit | undefined, wanted: number) => {
  const { scale, decimals } = shownAs[channel];
  const ticks = valueTicks(range[0], range[1], wanted);
  const step = (ticks[1] ?? range[1]) - (ticks[0] ?? range[0]);
  const digits = channel === 'gravity' ? 3 : Math.min(decimals, step >= 1 ? 0 : 2);
  const others = ticks.map((value) => unit?.fromStored(value / scale) ?? null);
  const otherStep = Math.abs((others[1] ?? 0) - (others[0] ?? 0));
  const otherDigits = otherStep >= 20 ? 0 : otherStep >= 0.2 ? 1 : 3;
  return ticks.map((value, index) => {
    const other = others[index] ?? null;
    return {
      value,
      words: numberText(value, digits),
      other: other === null ? '' : numberText(other, otherDigits),
    };
  });
};

const summaryOf = (channel: Channel, points: readonly TracePoint[]): string => {
  const values = points.map(([, value]) => value);
  const text = (value: number | undefined): string =>
    value === undefined ? '' : channelText(channel, value);
  return chartWords.summary(
    channelWords[channel],
    text(values[0]),
    text(values.at(-1)),
    text(values.reduce((a, b) => Math.min(a, b))),
    text(values.reduce((a, b) => Math.max(a, b))),
  );
};

const curvePaths = (
  foretold: Foretold,
  moment: ForetoldMoment,
  span: Range,
  range: Range,
  bandFrom: number,
): Panel['curve'] => {
  const { curve } = moment;
  if (curve === null) return null;
  const at = (pick: 'value' | 'low' | 'high', from: number): readonly TracePoint[] =>
    curve.flatMap((estimate, index) => {
      const time = foretold.curveTimes[index];
      return time === undefined || time < from ? [] : [[time, estimate[pick]] as const];
    });
  return {
    line: pathOf(at('value', span[0]), span, range),
    band: bandOf(at('low', bandFrom), at('high', bandFrom), span, range),
  };
};

export const coursePanels = (
  record: BacktestRecord,
  foretold: Foretold | null,
  marks: readonly PanelMark[],
  ownUnits: OwnUnits,
  zone: Zone,
): readonly Panel[] => {
  const span: Range = [record.begins, record.ends];
  const channels = channelsOf(record);
  const last = foretold?.moments.at(-1);
  return channels.map((channel, index) => {
    const { scale, unit } = shownAs[channel];
    const points = pointsOf(record, channel);
    const shown = points.map(([time, value]) => [time, value * scale] as const);
    const limits = limitsOf(channel, record);
    const range = chartRange(channel, [
      ...shown.map(([, value]) => value),
      ...limits.map(({ value }) => value),
    ]);
    const first = index === 0;
    const own = ownUnits[channel];
    return {
      title: `${channelWords[channel]}, ${unit}`,
      summary: summaryOf(channel, points),
      height: first ? 250 : 150,
      span,
      range,
      ticks: ticksOf(channel, range, own, first ? 6 : 4),
      beside: own?.symbol ?? null,
      twoAxes: channels.some((name) => ownUnits[name] !== undefined),
      times: timeTicks(span[0], span[1], zone),
      timed: index === channels.length - 1,
      readings: traceOf(shown, span, range),
      laterReadings: null,
      curve:
        channel === 'gravity' && foretold !== null && last !== undefined
          ? curvePaths(foretold, last, span, range, span[0])
          : null,
      limits,
      marks,
      pennants: first
        ? pennantsOf(marks.map(({ at, number }) => ({ x: placeX(at, span) / (box / 100), number })))
        : [],
      from: null,
    };
  });
};

/** One panel for each moment within the fall at which there was a curve. */
export const foretoldPanels = (
  record: BacktestRecord,
  foretold: Foretold,
  cameWords: string,
  zone: Zone,
): readonly Panel[] => {
  const span: Range = [record.begins, record.ends];
  const points = pointsOf(record, 'gravity');
  const moments = foretold.moments.filter(({ share, curve }) => share !== null && curve !== null);
  const range = chartRange('gravity', [
    ...points.map(([, value]) => value),
    foretold.came.gravity,
    ...moments.flatMap(({ curve, at }) =>
      (curve ?? []).flatMap(({ low, high }, index) =>
        (foretold.curveTimes[index] ?? 0) >= at ? [low, high] : [],
      ),
    ),
  ]);
  return moments.map((moment) => ({
    title: momentWords(moment),
    summary: `${momentWords(moment)}. ${moment.status.basis}`,
    height: 170,
    span,
    range,
    ticks: ticksOf('gravity', range, undefined, 4),
    beside: zone.moment(moment.at),
    twoAxes: false,
    times: timeTicks(span[0], span[1], zone).filter(({ always }) => always),
    timed: true,
    readings: traceOf(
      points.filter(([time]) => time <= moment.at),
      span,
      range,
    ),
    laterReadings: traceOf(
      points.filter(([time]) => time > moment.at),
      span,
      range,
    ),
    curve: curvePaths(foretold, moment, span, range, moment.at),
    limits: [
      { value: foretold.came.gravity, words: cameWords, hard: false, dashed: true, end: 'right' },
    ],
    marks: [],
    pennants: [],
    from: moment.at,
  }));
};
