/** A piece of news on its way from a vessel's outbox to the cellar and from there to receivers. */
import type { AlarmChange } from '../monitoring/alarm.ts';
import type { FloodChange } from '../monitoring/flood.ts';
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

export type News = VesselNews | CellarNews;

/** Tells the two apart, which the compiler cannot do by what lies within `body`. */
export const isOfVessel = (news: News): news is VesselNews => news.body.kind !== 'flood';
