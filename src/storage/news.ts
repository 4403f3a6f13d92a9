/** A piece of news on its way from a vessel's outbox to the cellar and from there to receivers. */
import type { Alarm, AlarmChange, Priority } from '../monitoring/alarms/alarm.ts';
import { calls, type FloodChange } from '../monitoring/alarms/flood.ts';
import type { Happening } from '../monitoring/watched.ts';

type Piece = {
  /** The same on every try, so that whoever takes it twice can tell. */
  readonly id: string;
  readonly cellar: string;
};

type OfVessel = Piece & {
  readonly vessel: string;
  readonly vesselTitle: string;
  readonly batch: string | null;
  readonly batchTitle: string | null;
};

/** What a vessel tells. */
export type VesselNews = OfVessel & {
  readonly body:
    | { readonly kind: 'alarm'; readonly change: AlarmChange }
    | { readonly kind: 'happening'; readonly happening: Happening };
};

/** What the cellar tells of all its vessels together. */
export type CellarNews = Piece & {
  readonly cellarTitle: string;
  readonly body: { readonly kind: 'flood'; readonly change: FloodChange };
};

/** What is told of the cellar, kept in its history and sent to its receivers. */
export type News = VesselNews | CellarNews;

/** An alarm that nobody has answered, told to a receiver whose turn has come. */
export type UnansweredNews = OfVessel & {
  readonly body: {
    readonly kind: 'unanswered';
    readonly at: number;
    /** Unix seconds since when it calls. */
    readonly since: number;
    readonly alarm: Alarm;
  };
};

/** What is told to one receiver alone, is about no vessel and is no part of the history. */
export type OwnNews = Piece & {
  readonly cellarTitle: string;
  readonly body: /** A person tries the way to a receiver. */
    | { readonly kind: 'test'; readonly at: number; readonly by: string }
    /** Gyleward is up. */
    | {
        readonly kind: 'heartbeat';
        readonly at: number;
        readonly everyMinutes: number;
        /** Alarms that nobody has answered. */
        readonly unanswered: number;
      };
};

export type Message = News | UnansweredNews | OwnNews;

export const isOfVessel = (message: Message): message is VesselNews | UnansweredNews =>
  'vessel' in message;

/** The alarm that a message is about, as it stands after it; null where it is about none. */
export const alarmOf = (message: Message): Alarm | null => {
  switch (message.body.kind) {
    case 'alarm':
      return message.body.change.alarm;
    case 'unanswered':
      return message.body.alarm;
    default:
      return null;
  }
};

/** Messages of one topic reach a receiver in the order in which they were told; others do not wait. */
export const topicOf = (message: Message): string => {
  const alarm = alarmOf(message);
  if (alarm !== null && isOfVessel(message)) return `${message.vessel}/${alarm.alarm}`;
  return message.body.kind === 'flood' ? 'flood' : message.id;
};

const ranks = { high: 3, medium: 2, low: 1 } as const satisfies Record<Priority, number>;

/** What goes first where much waits: an alarm that calls, by its priority. */
export const rankOf = (message: Message): number => {
  const alarm = alarmOf(message);
  return alarm !== null && calls({ alarm }) ? ranks[alarm.priority] : 0;
};
