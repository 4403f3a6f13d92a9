/**
 * How the alarms of a cellar do, as ISA-18.2 and IEC 62682 ask: a pure function over the history, with the standards'
 * reference values beside each figure. An alarm is counted each time it calls a person. No I/O, no clock.
 */
import { mean } from 'simple-statistics';
import type { Alarm, AlarmChange, AlarmKind, Priority } from './alarm.ts';
import { calls, floodAfter, floodAt, floodWindowSeconds, noFlood } from './flood.ts';
import { type Reference, referenceFigures } from './reference-figures.ts';
import { staleAlarms } from './stale.ts';

/** A step of an alarm on a vessel. */
export type ToldChange = { readonly vessel: string } & Pick<
  AlarmChange,
  'transition' | 'at' | 'alarm'
>;

export type StandingAlarm = { readonly vessel: string } & Alarm;

export type Figure = {
  /** Null where there is nothing to take it from. */
  readonly value: number | null;
  readonly references: readonly Reference[];
};

type FrequentAlarm = {
  readonly vessel: string;
  readonly alarm: string;
  readonly kind: AlarmKind;
  readonly count: number;
  /** Of all alarms counted. */
  readonly share: number;
};

type NamedAlarm = {
  readonly vessel: string;
  readonly alarm: string;
  readonly kind: AlarmKind;
  /** Unix seconds at which it was raised. */
  readonly since: number;
};

export type AlarmFigures = {
  /** Unix seconds. */
  readonly from: number;
  readonly to: number;
  /** Times an alarm called a person. */
  readonly alarms: number;
  readonly alarmsPerDay: Figure;
  readonly mostInTenMinutes: Figure & {
    /** Unix seconds at which those ten minutes ended; null where there was no alarm. */
    readonly at: number | null;
  };
  readonly shareOfTimeInFlood: Figure & { readonly floods: number };
  readonly topTenShare: Figure & { readonly alarms: readonly FrequentAlarm[] };
  readonly priorities: Readonly<Record<Priority, Figure & { readonly count: number }>>;
  readonly stale: Figure & { readonly alarms: readonly NamedAlarm[] };
  readonly chattering: Figure & { readonly alarms: readonly NamedAlarm[] };
  readonly meanSecondsToAcknowledge: Figure & {
    readonly acknowledged: number;
    /** Calls that nobody acknowledged before they ended, called again or were set aside. */
    readonly unanswered: number;
  };
};

/** `history` in order of time; `standing` as of `to`. What lies outside the span is left out. */
export const alarmFigures = (
  history: readonly ToldChange[],
  standing: readonly StandingAlarm[],
  { from, to }: { readonly from: number; readonly to: number },
): AlarmFigures => {
  const told = history
    .filter(({ at }) => at >= from && at <= to)
    .toSorted((one, other) => one.at - other.at);
  const called = told.filter(calls);
  // A rate over less than a day would make much of a morning.
  const days = Math.max(1, (to - from) / 86_400);
  const frequent = byFrequency(called);
  const topTen = frequent.slice(0, 10);
  const stale = staleAlarms(standing, to).map(named);
  const chattering = distinct([
    ...called
      .filter(({ alarm }) => alarm.chattering)
      .map((one) => ({ ...one.alarm, vessel: one.vessel })),
    ...standing.filter((alarm) => alarm.chattering),
  ]);
  return {
    from,
    to,
    alarms: called.length,
    alarmsPerDay: figure('alarmsPerDay', called.length / days),
    mostInTenMinutes: busiest(called),
    shareOfTimeInFlood: floods(called, from, to),
    topTenShare: {
      ...figure(
        'topTenShare',
        called.length === 0 ? null : topTen.reduce((sum, { share }) => sum + share, 0),
      ),
      alarms: topTen,
    },
    priorities: {
      high: spread(called, 'high', 'highShare'),
      medium: spread(called, 'medium', 'mediumShare'),
      low: spread(called, 'low', 'lowShare'),
    },
    stale: { ...figure('stale', stale.length), alarms: stale },
    chattering: { ...figure('chattering', chattering.length), alarms: chattering },
    meanSecondsToAcknowledge: answers(told),
  };
};

const figure = (name: keyof typeof referenceFigures, value: number | null): Figure => ({
  value,
  references: referenceFigures[name],
});

const keyOf = ({ vessel, alarm }: ToldChange): string => `${vessel}/${alarm.alarm}`;

const byFrequency = (called: readonly ToldChange[]): readonly FrequentAlarm[] =>
  [...Map.groupBy(called, keyOf).values()]
    .flatMap((own) => {
      const [first] = own;
      if (first === undefined) return [];
      const { vessel, alarm } = first;
      return {
        vessel,
        alarm: alarm.alarm,
        kind: alarm.kind,
        count: own.length,
        share: own.length / called.length,
      };
    })
    .toSorted(
      (one, other) =>
        other.count - one.count ||
        one.vessel.localeCompare(other.vessel, 'en') ||
        one.alarm.localeCompare(other.alarm, 'en'),
    );

const busiest = (called: readonly ToldChange[]): AlarmFigures['mostInTenMinutes'] => {
  let most = 0;
  let at: number | null = null;
  let first = 0;
  for (const [index, one] of called.entries()) {
    while ((called[first]?.at ?? one.at) <= one.at - floodWindowSeconds) first += 1;
    if (index - first + 1 > most) {
      most = index - first + 1;
      at = one.at;
    }
  }
  return { ...figure('mostInTenMinutes', most), at };
};

const floods = (
  called: readonly ToldChange[],
  from: number,
  to: number,
): AlarmFigures['shareOfTimeInFlood'] => {
  let watch = noFlood;
  let seconds = 0;
  let count = 0;
  const take = (step: ReturnType<typeof floodAt>): void => {
    watch = step.watch;
    for (const { transition, at, flood } of step.changes) {
      if (transition === 'began') count += 1;
      else seconds += at - flood.since;
    }
  };
  for (const one of called) take(floodAfter(watch, one.vessel, one, one.at));
  take(floodAt(watch, to));
  if (watch.flood !== null) seconds += to - watch.flood.since;
  return { ...figure('shareOfTimeInFlood', seconds / Math.max(1, to - from)), floods: count };
};

const spread = (
  called: readonly ToldChange[],
  priority: Priority,
  name: 'highShare' | 'mediumShare' | 'lowShare',
): Figure & { readonly count: number } => {
  const count = called.filter(({ alarm }) => alarm.priority === priority).length;
  return { ...figure(name, called.length === 0 ? null : count / called.length), count };
};

const named = ({ vessel, alarm, kind, raisedAt }: StandingAlarm): NamedAlarm => ({
  vessel,
  alarm,
  kind,
  since: raisedAt,
});

/** One for each alarm of a vessel, the latest. */
const distinct = (alarms: readonly StandingAlarm[]): readonly NamedAlarm[] => [
  ...new Map(alarms.map((one) => [`${one.vessel}/${one.alarm}`, named(one)])).values(),
];

/** Each call waits for its acknowledgement until its alarm changes in any other way that people see. */
const answers = (told: readonly ToldChange[]): AlarmFigures['meanSecondsToAcknowledge'] => {
  const waiting = new Map<string, number>();
  const waits: number[] = [];
  let made = 0;
  for (const one of told) {
    const key = keyOf(one);
    const since = waiting.get(key);
    if (one.transition === 'acknowledged' && since !== undefined) {
      waits.push(one.at - since);
      waiting.delete(key);
    } else if (calls(one)) {
      made += 1;
      waiting.set(key, one.at);
    }
  }
  return {
    ...figure('meanSecondsToAcknowledge', waits.length === 0 ? null : mean(waits)),
    acknowledged: waits.length,
    unanswered: made - waits.length,
  };
};
