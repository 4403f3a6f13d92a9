/**
 * The one number that matters in a vessel's stage, with what makes it readable: its unit, how far
 * along it is, and a line or two beside it. Falls back to what the vessel does measure.
 * Pure: no I/O, no clock.
 */
import type { Batch, Stage } from '../../monitoring/batch.ts';
import { bandInForce } from '../../monitoring/stages/limits.ts';
import type { ClockName } from '../../monitoring/stages/stage-view.ts';
import type { LatestReading, Status } from '../../monitoring/status.ts';
import type { TemperatureBand, Vessel } from '../../monitoring/vessel.ts';
import { duration } from '../../monitoring/words/spoken.ts';
import type { Channel } from '../../science/units/channel.ts';
import { channelWords, headlineWords } from '../messages.ts';
import {
  barFigure,
  barText,
  celsiusText,
  channelFigure,
  channelText,
  extractText,
  gravityText,
  numberText,
  percentText,
  shownAs,
} from './quantity.ts';

export type HeadlineWay = {
  readonly to: 'end' | 'rating';
  /** 0 to 1 of the way to the end, 0 to `mostOfRating` of a rating. */
  readonly share: number;
  readonly words: string;
};

/** Where the picture of a pressure ends, in ratings; chosen by us, so that a quarter over still shows. */
export const mostOfRating = 1.25;

export type Headline = {
  readonly channel: Channel;
  readonly label: string;
  readonly figure: string;
  readonly unit: string;
  readonly beside: readonly string[];
  /** How far towards the end or the rating, said in words too; null where there is neither. */
  readonly way: HeadlineWay | null;
  /** Unix seconds of the reading behind the number; null where it is an estimate without one. */
  readonly readAt: number | null;
};

export type CellarRow = {
  readonly vessel: Vessel;
  readonly batch: Batch | null;
  readonly status: Status;
};

/** What to look for in each stage, best first; the trade watches these (common practice). */
const wanted = {
  'mash-rest': ['temperature'],
  boil: ['temperature'],
  cooling: ['temperature'],
  fermentation: ['gravity', 'temperature', 'gauge-pressure'],
  conditioning: ['gravity', 'gauge-pressure', 'temperature'],
  'cold-steep': ['temperature', 'ph'],
  ageing: ['temperature', 'humidity'],
  blending: ['temperature', 'gravity', 'mass'],
  keg: ['gauge-pressure', 'temperature'],
  workroom: ['carbon-dioxide', 'oxygen', 'temperature'],
} as const satisfies Record<Stage, readonly Channel[]>;

const clamp = (share: number, most: number): number => Math.min(most, Math.max(0, share));

const gravityHeadline = (row: CellarRow): Headline | null => {
  const { fermentation, latest } = row.status;
  const present = fermentation?.presentGravity ?? latest.gravity?.value ?? null;
  if (present === null) return null;
  const terminal = fermentation?.terminalGravity ?? null;
  const expected = row.batch?.expectedTerminalGravity ?? null;
  const end = terminal?.value ?? expected;
  const original = row.batch?.originalGravity ?? null;
  const share =
    end !== null && original !== null && original > end
      ? clamp((original - present) / (original - end), 1)
      : null;
  const ending =
    terminal === null
      ? expected === null
        ? []
        : [headlineWords.expectedEnd(gravityText(expected))]
      : [
          headlineWords.endsNear(
            gravityText(terminal.value),
            gravityText(terminal.low),
            gravityText(terminal.high),
          ),
        ];
  const extract = fermentation?.presentExtractPlato ?? null;
  return {
    channel: 'gravity',
    label: headlineWords.gravity,
    figure: gravityText(present),
    unit: 'SG',
    beside: [...(extract === null ? [] : [extractText(extract)]), ...ending],
    way:
      share === null || end === null
        ? null
        : { to: 'end', share, words: headlineWords.way(percentText(share), gravityText(end)) },
    readAt: latest.gravity?.time ?? null,
  };
};

const pressureHeadline = (row: CellarRow): Headline | null => {
  const { pressure, latest } = row.status;
  const present = pressure?.gaugePressurePascal ?? latest['gauge-pressure']?.value ?? null;
  if (present === null) return null;
  const rating = row.vessel.ratedGaugePressurePascal;
  const share = rating === null || rating <= 0 ? null : present / rating;
  const settles = pressure?.equilibriumGaugePressurePascal ?? null;
  const volumes = pressure?.carbonationVolumes ?? null;
  return {
    channel: 'gauge-pressure',
    label: headlineWords.pressure,
    figure: barFigure(present),
    unit: 'bar',
    beside: [
      ...(settles === null ? [] : [headlineWords.settles(barText(settles))]),
      ...(volumes === null ? [] : [headlineWords.volumes(numberText(volumes, 1))]),
      ...(share === null ? [headlineWords.noRating] : []),
    ],
    way:
      share === null || rating === null
        ? null
        : {
            to: 'rating',
            share: clamp(share, mostOfRating),
            words: (share > 1 ? headlineWords.overRating : headlineWords.share)(
              percentText(share),
              barText(rating),
            ),
          },
    readAt: latest['gauge-pressure']?.time ?? null,
  };
};

const bandWords = (value: number, band: TemperatureBand): string => {
  const low = celsiusText(band.lowCelsius);
  const high = celsiusText(band.highCelsius);
  if (value > band.highCelsius)
    return headlineWords.aboveBand(celsiusText(value - band.highCelsius), low, high);
  if (value < band.lowCelsius)
    return headlineWords.belowBand(celsiusText(band.lowCelsius - value), low, high);
  return headlineWords.inBand(low, high);
};

/** Clocks that somebody waits for beside the vessel. */
const shownClocks: ReadonlySet<ClockName> = new Set(['rest', 'boil', 'cooling', 'steep']);

const plainHeadline = (channel: Channel, reading: LatestReading, row: CellarRow): Headline => {
  const band = bandInForce(row);
  const [clock] = row.status.clocks;
  const oxygen = row.status.latest.oxygen;
  const beside =
    channel === 'temperature' && band !== null
      ? [bandWords(reading.value, band)]
      : channel === 'carbon-dioxide' && oxygen !== undefined
        ? [headlineWords.oxygen(channelText('oxygen', oxygen.value))]
        : [];
  const timed =
    channel === 'temperature' && clock !== undefined && shownClocks.has(clock.clock)
      ? [headlineWords.clock(duration(clock.doneSeconds), duration(clock.ofSeconds))]
      : [];
  return {
    channel,
    label: channelWords[channel].toLowerCase(),
    figure: channelFigure(channel, reading.value),
    unit: shownAs[channel].unit,
    beside: [...timed, ...beside],
    way: null,
    readAt: reading.time,
  };
};

export const stageOf = (row: CellarRow): Stage | null =>
  row.status.stage ?? row.batch?.stage ?? (row.vessel.kind === 'room' ? 'workroom' : null);

/** Null where the vessel has measured nothing that its stage asks for. */
export const headline = (row: CellarRow): Headline | null => {
  const stage = stageOf(row);
  const order: readonly Channel[] =
    stage === null ? ['temperature', 'gauge-pressure'] : wanted[stage];
  for (const channel of order) {
    if (channel === 'gravity') {
      const found = gravityHeadline(row);
      if (found !== null) return found;
    } else if (channel === 'gauge-pressure') {
      const found = pressureHeadline(row);
      if (found !== null) return found;
    } else {
      const reading = row.status.latest[channel];
      if (reading !== undefined) return plainHeadline(channel, reading, row);
    }
  }
  return null;
};
