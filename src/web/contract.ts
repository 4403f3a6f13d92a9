/** What requests may say: schemas for the bodies of the JSON interface and of the page's forms. */
import * as z from 'zod';
import { priorities, wholeDuty } from '../monitoring/alarms/duty.ts';
import { isZone, weekdays } from '../monitoring/alarms/duty-hours.ts';
import { drinks, stages } from '../monitoring/batch.ts';
import { deedKinds } from '../monitoring/stages/deed.ts';
import { vesselKinds } from '../monitoring/vessel.ts';
import { roles } from '../storage/access.ts';
import { fewestKeepDays, mostKeepDays } from '../storage/keep-days.ts';
import { bytesFromBase64url } from '../wire/base64url.ts';
import { limitsBody } from './limits-body.ts';

const slug = z
  .string()
  .regex(
    /^[a-z0-9][a-z0-9-]{0,62}$/,
    'must be 1 to 63 lower-case letters, digits or hyphens and start with a letter or digit',
  );

const title = z
  .string()
  .trim()
  .min(1, 'must not be blank')
  .max(80, 'must have at most 80 characters');

/** 1000 m3, a large room: vessels of that size are outside what this is made for. */
const volumeLitre = z
  .number()
  .positive('must be above 0')
  .max(1_000_000, 'must be at most 1000000 litres');

/** 2 MPa: far above any keg or tank of the trade; a larger figure is a mistaken unit. */
const gaugePressurePascal = z
  .number()
  .positive('must be above 0')
  .max(2_000_000, 'must be at most 2000000 Pa (20 bar)');

const celsius = z.number().min(-40, 'must be at least -40').max(130, 'must be at most 130');

const temperatureBand = z
  .strictObject({ lowCelsius: celsius, highCelsius: celsius })
  .refine((band) => band.lowCelsius < band.highCelsius, {
    path: ['lowCelsius'],
    error: 'must be below highCelsius',
  });

const gravity = z
  .number()
  .min(0.95, 'must be a specific gravity between 0.95 and 1.25')
  .max(1.25, 'must be a specific gravity between 0.95 and 1.25');

/** Unix seconds, or a date and time after RFC 3339. */
const moment = z.union([
  z.number().min(946_684_800, 'must be Unix seconds after the year 1999').max(8_000_000_000),
  z.iso.datetime({ offset: true }).transform((text) => Date.parse(text) / 1000),
]);

export const cellarBody = z.strictObject({ cellar: slug, title });

export const keeperKeyBody = z.strictObject({ title });

export const vesselBody = z
  .strictObject({
    vessel: slug,
    title,
    kind: z.enum(vesselKinds),
    volumeLitre,
    headspaceLitre: z.number().min(0, 'must not be negative'),
    ratedGaugePressurePascal: gaugePressurePascal.nullable().default(null),
    reliefGaugePressurePascal: gaugePressurePascal.nullable().default(null),
    gasConnected: z.boolean().default(false),
    temperatureBand: temperatureBand.nullable().default(null),
  })
  .refine(
    (vessel) =>
      vessel.headspaceLitre < vessel.volumeLitre ||
      (vessel.kind === 'room' && vessel.headspaceLitre === vessel.volumeLitre),
    { path: ['headspaceLitre'], error: 'must be less than volumeLitre, or equal to it for a room' },
  );

/** Something done to a batch and written down by hand. */
export const deedBody = z.strictObject({
  deed: z.enum(deedKinds),
  at: moment.optional(),
  note: z.string().trim().max(500, 'must have at most 500 characters').nullable().default(null),
});

export const batchBody = z
  .strictObject({
    vessel: slug,
    batch: slug,
    title,
    drink: z.enum(drinks),
    stage: z.enum(stages).optional(),
    startedAt: moment.optional(),
    originalGravity: gravity.nullable().default(null),
    expectedTerminalGravity: gravity.nullable().default(null),
    attenuationLimit: z
      .number()
      .gt(0, 'must be a fraction between 0 and 1.2')
      .max(1.2, 'must be a fraction between 0 and 1.2')
      .nullable()
      .default(null),
    temperatureBand: temperatureBand.nullable().default(null),
    carbonationVolumes: z
      .number()
      .min(0, 'must not be negative')
      .max(8, 'must be at most 8 volumes')
      .nullable()
      .default(null),
    /** 250 g/L: a sweet fortified wine; more is a mistaken unit. */
    fermentableGramPerLitre: z
      .number()
      .min(0, 'must not be negative')
      .max(250, 'must be at most 250 g/L')
      .nullable()
      .exactOptional(),
    limits: limitsBody.exactOptional(),
    /** What was done before Gyleward was told of the batch, so that its clocks count from there. */
    deeds: z.array(deedBody).max(60, 'must have at most 60 entries').exactOptional(),
  })
  .refine(
    (batch) =>
      batch.originalGravity === null ||
      batch.expectedTerminalGravity === null ||
      batch.expectedTerminalGravity < batch.originalGravity,
    { path: ['expectedTerminalGravity'], error: 'must be below originalGravity' },
  );

/** A sample by hand: a hydrometer's reading with the sample's temperature, a pH, or both. */
export const sampleBody = z
  .strictObject({
    time: moment.optional(),
    readingGravity: gravity.nullable().default(null),
    sampleTemperatureCelsius: z
      .number()
      .min(0, 'must be between 0 and 40')
      .max(40, 'must be between 0 and 40')
      .nullable()
      .default(null),
    calibrationTemperatureCelsius: z
      .union([z.literal(20), z.literal(15), z.literal(15.56)])
      .default(20),
    ph: z
      .number()
      .min(0, 'must be at least 0')
      .max(14, 'must be at most 14')
      .nullable()
      .default(null),
    note: z.string().trim().max(500, 'must have at most 500 characters').nullable().default(null),
  })
  .refine((sample) => sample.readingGravity !== null || sample.ph !== null, {
    path: ['readingGravity'],
    error: 'must be given, or ph',
  })
  .refine((sample) => sample.readingGravity === null || sample.sampleTemperatureCelsius !== null, {
    path: ['sampleTemperatureCelsius'],
    error: 'must be given with readingGravity',
  });

/** Limits that replace what the batch has set of its own; a stage that is left out goes back to its defaults. */
export const ownLimitsBody = z.strictObject({ limits: limitsBody });

export const stageBody = z.strictObject({ stage: z.enum(stages) });

export const keyBody = z
  .strictObject({
    title,
    role: z.enum(roles),
    vessels: z.array(slug).min(1, 'must name at least one vessel').nullable().default(null),
    /** From then on it opens nothing; null for a key without an end. */
    expiresAt: moment.nullable().default(null),
  })
  .refine((key) => (key.role === 'sensor') === (key.vessels !== null), {
    path: ['vessels'],
    error: 'must be given for a sensor key and for no other',
  });

const clockTime = z
  .string()
  .regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'must be a time of day such as 08:00');

const dutyHours = z.strictObject({
  zone: z.string().refine(isZone, 'must be a time zone such as Europe/London'),
  from: clockTime,
  to: clockTime,
  days: z.array(z.enum(weekdays)).min(1, 'must name at least one day'),
});

/** Which alarms a receiver is told of, when, and whether at once. A day at most: chosen by us. */
export const dutyBody = z.strictObject({
  priorities: z
    .array(z.enum(priorities))
    .min(1, 'must name at least one priority')
    .default([...priorities]),
  vessels: z.array(slug).min(1, 'must name at least one vessel').nullable().default(null),
  hours: dutyHours.nullable().default(null),
  afterMinutes: z
    .int('must be a whole number of minutes')
    .min(0, 'must be 0 (at once) or more minutes')
    .max(1440, 'must be at most 1440 minutes, a day')
    .default(0),
});

/** A request to a mail relay; that it holds is checked by `wire/message-template.ts`. */
const templateBody = z.strictObject({
  method: z.enum(['POST', 'PUT']).default('POST'),
  headers: z.record(z.string().max(100), z.string().max(2000)),
  body: z.string().max(8000, 'must have at most 8000 characters'),
});

export const receiverBody = z.strictObject({
  title,
  url: z.string().max(2000),
  duty: dutyBody.default(wholeDuty as z.output<typeof dutyBody>),
  /** Given for a mail relay; without one the receiver is a webhook. */
  template: templateBody.nullable().default(null),
});

const base64url = (bytes: number) =>
  z
    .string()
    .refine(
      (text) => bytesFromBase64url(text)?.length === bytes,
      `must be ${bytes} bytes in base64url`,
    );

/** What a browser gives when it subscribes (Push API, PushSubscription.toJSON). */
export const pushBody = z.strictObject({
  endpoint: z.string().max(2000),
  keys: z.strictObject({ p256dh: base64url(65), auth: base64url(16) }),
});

export const pushEndBody = z.strictObject({ endpoint: z.string().max(2000) });

/** How often a receiver hears that Gyleward is up; null ends it. A day at most: chosen by us. */
export const heartbeatBody = z.strictObject({
  everyMinutes: z
    .int('must be a whole number of minutes')
    .min(1, 'must be at least 1 minute')
    .max(1440, 'must be at most 1440 minutes, a day')
    .nullable(),
});

/** Which dead letter of a receiver is sent again. */
export const resendBody = z.strictObject({
  letter: z.union([z.literal('all'), z.int().min(1)], 'must be the id of a dead letter, or "all"'),
});

const note = z
  .string()
  .trim()
  .max(500, 'must have at most 500 characters')
  .nullable()
  .default(null);

export const acknowledgeBody = z.strictObject({
  note,
  /** When it asks again if it still stands; what its priority makes usual where it is left out. */
  reAlarmAt: moment.nullable().default(null),
});

export const shelveBody = z.strictObject({ until: moment, note });

/** Resetting a latched alarm, taking one off the shelf, putting one back into service. */
export const noteBody = z.strictObject({ note });

export const removeFromServiceBody = z.strictObject({
  reason: z
    .string()
    .trim()
    .min(1, 'must say why: whoever comes next has to know')
    .max(500, 'must have at most 500 characters'),
});

/** Days that a set of figures spans: a month as ISA-18.2 is quoted with, a year at most. */
export const figuresQuery = z.strictObject({
  days: z.coerce
    .number('must be a number of days')
    .min(1, 'must be at least 1')
    .max(366, 'must be at most 366')
    .default(30),
});

/** Days for which every reading is kept before it is thinned to hours. */
export const retentionBody = z.strictObject({
  keepDays: z
    .number()
    .min(fewestKeepDays, `must be at least ${fewestKeepDays}`)
    .max(mostKeepDays, `must be at most ${mostKeepDays}`),
});

/** Under legal hold a batch keeps each of its readings, whatever their age. */
export const legalHoldBody = z.strictObject({ held: z.boolean(), note });

/** A page of the journal: the newest entries, or those before one of them. */
export const journalQuery = z.strictObject({
  limit: z.coerce
    .number('must be a number of entries')
    .int('must be a whole number')
    .min(1, 'must be at least 1')
    .max(500, 'must be at most 500')
    .default(500),
  before: z.coerce
    .number('must be the id of an entry')
    .int('must be a whole number')
    .min(1, 'must be at least 1')
    .nullable()
    .default(null),
});
