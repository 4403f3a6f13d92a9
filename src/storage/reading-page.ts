/**
 * A page of everything that a vessel knows of its readings, as export gives it and import takes it.
 * Pure data. Cursors are opaque to whoever passes them back.
 */
import { type Channel, isChannel } from '../science/units/channel.ts';
import type { Correction } from './correction-table.ts';
import type { Hour } from './hourly-table.ts';

/** Ascending points of one channel: times in Unix seconds, values in the channel's stored unit. */
export type ReadingSeries = {
  readonly channel: Channel;
  readonly times: Float64Array;
  readonly values: Float64Array;
};

export type ReadingPage =
  | { readonly kind: 'readings'; readonly series: readonly ReadingSeries[] }
  | { readonly kind: 'hours'; readonly channel: Channel; readonly hours: readonly Hour[] }
  | { readonly kind: 'corrections'; readonly corrections: readonly Correction[] };

/** Where the next page begins: after a time of a channel, or after a row of corrections. */
export type PagePlace =
  | {
      readonly kind: 'readings' | 'hours';
      readonly channel: Channel;
      readonly after: number;
    }
  | { readonly kind: 'corrections'; readonly after: number };

export const cursorOf = (place: PagePlace): string =>
  place.kind === 'corrections'
    ? `corrections,${place.after}`
    : `${place.kind},${place.after},${place.channel}`;

/** Null where the text is no cursor of ours. */
export const placeOf = (cursor: string): PagePlace | null => {
  const [kind, text = '', channel = ''] = cursor.split(',');
  const after = text === '-Infinity' ? Number.NEGATIVE_INFINITY : Number(text);
  if (text === '' || Number.isNaN(after)) return null;
  if (kind === 'corrections') return { kind, after };
  if ((kind === 'readings' || kind === 'hours') && isChannel(channel))
    return { kind, channel, after };
  return null;
};
