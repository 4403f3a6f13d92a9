/** What is answered of alarms: each as it stands, their history, and how they do. Pure data. */
import * as z from 'zod';
import {
  type Alarm,
  type AlarmChange,
  alarmKinds,
  alarmStates,
  alarmTransitions,
} from '../../../monitoring/alarms/alarm.ts';
import type { AlarmFigures } from '../../../monitoring/alarms/alarm-figures.ts';
import type { Flood } from '../../../monitoring/alarms/flood.ts';
import type { Reference } from '../../../monitoring/alarms/reference-figures.ts';
import { type Happening, happeningKinds } from '../../../monitoring/watched.ts';
import { channelNames } from '../../../science/units/channel.ts';
import type { HistoryEntry, StandingAlarm } from '../../../storage/alarm-history.ts';
import { answerNamed } from '../schema-book.ts';

const maybe = z.number().nullable();
const words = z.string().nullable();
const list = z.array(z.string()).readonly();
const priority = z.enum(['high', 'medium', 'low']);
const kind = z.enum(alarmKinds);

export const markKind = z.enum([...alarmKinds, ...happeningKinds]);

const alarmFacts = {
  alarm: z.string(),
  kind,
  channel: z.enum(channelNames).nullable(),
  batch: words,
  priority,
  state: z.enum(alarmStates),
  occurrence: z.number(),
  raisedAt: z.number(),
  returnedAt: maybe,
  acknowledgedAt: maybe,
  acknowledgedBy: words,
  note: words,
  reAlarmAt: maybe,
  shelvedUntil: maybe,
  setAside: z.strictObject({ by: words, at: z.number(), why: words }).nullable(),
  chattering: z.boolean(),
  evidence: z.string(),
  latest: z.strictObject({ at: z.number(), evidence: z.string() }).nullable(),
  likelyCauses: list,
  checkFirst: list,
  caution: words,
  source: words,
};

export const alarm = answerNamed<Alarm>()('Alarm', z.strictObject(alarmFacts));

const changeFacts = {
  transition: z.enum(alarmTransitions),
  at: z.number(),
  by: words,
  note: words,
  alarm,
};

export const alarmChange = answerNamed<AlarmChange>()('AlarmChange', z.strictObject(changeFacts));

export const happening = answerNamed<Happening>()(
  'Happening',
  z.strictObject({ kind: z.enum(happeningKinds), at: z.number(), words: z.string() }),
);

export const flood = answerNamed<Flood>()(
  'Flood',
  z.strictObject({
    since: z.number(),
    count: z.number(),
    peak: z.number(),
    vessels: list,
    kinds: z.partialRecord(kind, z.number()),
  }),
);

const place = { vessel: z.string(), vesselTitle: z.string(), batch: words };

const historyEntry = answerNamed<HistoryEntry>()(
  'HistoryEntry',
  z.discriminatedUnion('kind', [
    z.strictObject({ ...place, kind: z.literal('alarm'), ...changeFacts }),
    z.strictObject({ ...place, kind: z.literal('happening'), happening }),
    z.strictObject({
      kind: z.literal('flood'),
      transition: z.enum(['began', 'ended']),
      at: z.number(),
      flood,
    }),
  ]),
);

const standingAlarm = answerNamed<StandingAlarm>()(
  'StandingAlarm',
  z.strictObject({ ...alarmFacts, vessel: z.string() }),
);

export const alarmList = answerNamed<{
  readonly standing: readonly StandingAlarm[];
  readonly history: readonly HistoryEntry[];
}>()(
  'AlarmList',
  z.strictObject({
    standing: z.array(standingAlarm).readonly(),
    history: z.array(historyEntry).readonly(),
  }),
);

const reference = answerNamed<Reference>()(
  'Reference',
  z.strictObject({
    most: maybe,
    words: z.string(),
    source: z.string(),
    known: z.enum(['seen second-hand', 'from memory']),
  }),
);

const figure = { value: maybe, references: z.array(reference).readonly() };

const namedAlarms = z
  .array(z.strictObject({ vessel: z.string(), alarm: z.string(), kind, since: z.number() }))
  .readonly();

const counted = z.strictObject({ ...figure, count: z.number() });

export const figures = answerNamed<AlarmFigures>()(
  'AlarmFigures',
  z.strictObject({
    from: z.number(),
    to: z.number(),
    alarms: z.number(),
    alarmsPerDay: z.strictObject(figure),
    mostInTenMinutes: z.strictObject({ ...figure, at: maybe }),
    shareOfTimeInFlood: z.strictObject({ ...figure, floods: z.number() }),
    topTenShare: z.strictObject({
      ...figure,
      alarms: z
        .array(
          z.strictObject({
            vessel: z.string(),
            alarm: z.string(),
            kind,
            count: z.number(),
            share: z.number(),
          }),
        )
        .readonly(),
    }),
    priorities: z.strictObject({ high: counted, medium: counted, low: counted }),
    stale: z.strictObject({ ...figure, alarms: namedAlarms }),
    chattering: z.strictObject({ ...figure, alarms: namedAlarms }),
    meanSecondsToAcknowledge: z.strictObject({
      ...figure,
      acknowledged: z.number(),
      unanswered: z.number(),
    }),
  }),
);
