/**
 * The lines of an archive: JSON values, one a line, of which each stands for itself. What may stand in one is held
 * against the same schemas as what is answered elsewhere. Pure: no I/O, no clock.
 */
import * as z from 'zod';
import { type Channel, channelNames, channels } from '../../science/units/channel.ts';
import { hourOf } from '../../storage/hourly-table.ts';
import { isVesselName } from '../../wire/readings.ts';
import { vesselBody } from '../contract.ts';
import { alarm, alarmChange, flood, happening } from '../interface/answers/alarm-answers.ts';
import { batch } from '../interface/answers/batch-answers.ts';
import { status } from '../interface/answers/vessel-answers.ts';

/** The version of the lines: it rises when an older reader would misread them. */
export const archiveVersion = 1;

/** Points of a line of readings. Chosen by us: about a hundred kilobytes of text. */
export const pointsPerLine = 5000;

/** 2000-01-01, as at the door for readings. */
const earliestTime = 946_684_800;

const name = z.string().refine(isVesselName, 'must be a short name');
const channel = z.enum(channelNames);
const time = z.number().min(earliestTime, 'must lie after the year 1999');
const text = z.string().max(2000, 'must have at most 2000 characters');

const inBounds = (of: Channel, values: readonly number[]): boolean =>
  values.every((value) => value >= channels[of].lowest && value <= channels[of].highest);

const cannotBe = 'holds a value that its channel cannot have';

const readings = z
  .strictObject({
    kind: z.literal('readings'),
    vessel: name,
    channel,
    times: z.array(time).max(pointsPerLine),
    values: z.array(z.number()).max(pointsPerLine),
  })
  .refine(
    ({ times, values }) => times.length === values.length,
    'must have as many values as times',
  )
  .refine((line) => inBounds(line.channel, line.values), cannotBe);

const hour = z
  .strictObject({
    start: time.refine((start) => hourOf(start) === start, 'must be the beginning of an hour'),
    low: z.number(),
    mean: z.number(),
    high: z.number(),
    count: z.int().min(1),
  })
  .refine(({ low, high }) => low <= high, 'must have low not above high');

const hours = z
  .strictObject({
    kind: z.literal('hours'),
    vessel: name,
    channel,
    hours: z.array(hour).max(pointsPerLine),
  })
  .refine(
    (line) =>
      inBounds(
        line.channel,
        line.hours.flatMap(({ low, high }) => [low, high]),
      ),
    cannotBe,
  );

const corrections = z.strictObject({
  kind: z.literal('corrections'),
  vessel: name,
  corrections: z
    .array(
      z.strictObject({
        channel,
        at: time,
        points: z
          .array(z.strictObject({ time, replaced: z.number(), value: z.number() }))
          .max(100_000),
      }),
    )
    .max(1000),
});

const newsId = z.string().regex(/^news_[\w-]{1,80}$/, 'must be a name of news');

const news = z.strictObject({
  kind: z.literal('news'),
  at: z.number(),
  news: z.union([
    z.strictObject({
      id: newsId,
      vessel: name,
      vesselTitle: text,
      batch: text.nullable(),
      batchTitle: text.nullable(),
      body: z.discriminatedUnion('kind', [
        z.strictObject({ kind: z.literal('alarm'), change: alarmChange }),
        z.strictObject({ kind: z.literal('happening'), happening }),
      ]),
    }),
    z.strictObject({
      id: newsId,
      cellarTitle: text,
      body: z.strictObject({
        kind: z.literal('flood'),
        change: z.strictObject({ transition: z.enum(['began', 'ended']), at: z.number(), flood }),
      }),
    }),
  ]),
});

export const archiveLine = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('archive'),
    version: z.literal(archiveVersion, `must be ${archiveVersion}`),
    cellar: text,
    title: text,
    /** Unix seconds. */
    writtenAt: z.number(),
  }),
  z.strictObject({ kind: z.literal('retention'), keepDays: z.number().min(30).max(36_500) }),
  z.strictObject({ kind: z.literal('vessel'), vessel: vesselBody }),
  z.strictObject({
    kind: z.literal('batch'),
    vessel: name,
    batch: batch.refine((one) => isVesselName(one.batch), 'must have a short name'),
    finalStatus: status.nullable(),
    legalHold: z.boolean(),
  }),
  news,
  /** How a vessel's alarms stand, with what has been seen of them since they were last told of. */
  z.strictObject({ kind: z.literal('alarms'), vessel: name, alarms: z.array(alarm).max(200) }),
  readings,
  hours,
  corrections,
  /** How many lines stand before it, so that a cut archive is told from a whole one. */
  z.strictObject({ kind: z.literal('end'), lines: z.int() }),
]);

export type ArchiveLine = z.output<typeof archiveLine>;
