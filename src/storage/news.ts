/** A piece of news on its way from a vessel's outbox to the cellar and from there to receivers. */
import type { AlarmChange, Priority } from '../monitoring/alarm.ts';
import { calls, type FloodChange } from '../monitoring/flood.ts';
import type { Happening } from '../monitoring/watched.ts';

type Piece = {
  /** The same on every try, so that whoever takes it twice can tell. */
  readonly id: string;
  readonly cellar: string;
};

/** What a vessel tells. */
export type VesselNews = Piece & {
  readonly vessel: string;
  readonly vesselTitle: string;
  readonly batch: string | null;
  readonly batchTitle: string | null;
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

/** What is told to one receiver alone and is no part of the history. */
export type OwnNews = Piece & {
  readonly cellarTitle: string;
  /** A person tries the way to a receiver. */
  readonly body: { readonly kind: 'test'; readonly at: number; readonly by: string };
};

export type Message = News | OwnNews;

export const isOfVessel = (message: Message): message is VesselNews => 'vessel' in message;

/** Messages of one topic reach a receiver in the order in which they were told; others do not wait. */
export const topicOf = (message: Message): string => {
  if (isOfVessel(message) && message.body.kind === 'alarm')
    return `${message.vessel}/${message.body.change.alarm.alarm}`;
  return message.body.kind === 'flood' ? 'flood' : message.id;
};

const ranks = { high: 3, medium: 2, low: 1 } as const satisfies Record<Priority, number>;

/** What goes first where much waits: an alarm that calls, by its priority. */
export const rankOf = (message: Message): number =>
  isOfVessel(message) && message.body.kind === 'alarm' && calls(message.body.change)
    ? ranks[message.body.change.alarm.priority]
    : 0;
