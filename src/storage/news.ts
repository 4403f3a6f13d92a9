/** A piece of news on its way from a vessel's outbox to the cellar and from there to receivers. */
import type { AlarmChange } from '../monitoring/alarm.ts';
import type { Happening } from '../monitoring/watched.ts';

export type News = {
  /** The same on every try, so that whoever takes it twice can tell. */
  readonly id: string;
  readonly cellar: string;
  readonly vessel: string;
  readonly vesselTitle: string;
  readonly batch: string | null;
  readonly batchTitle: string | null;
  readonly body:
    | { readonly kind: 'alarm'; readonly change: AlarmChange }
    | { readonly kind: 'happening'; readonly happening: Happening };
};
