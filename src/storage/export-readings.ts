/**
 * Everything that a vessel knows of its readings, page by page: readings in full detail by channel
 * and time, then hours, then corrections. A page is bounded, so is the memory that it takes; readings
 * that arrive between two pages are in a later page or in none, never twice.
 */
import { type Channel, channelNames } from '../science/units/channel.ts';
import { correctionsAfter } from './correction-table.ts';
import { nextHours } from './hourly-table.ts';
import { joinPoints, type Points } from './packed/points.ts';
import { partsAfter } from './parts-after.ts';
import type { PagePlace, ReadingPage, ReadingSeries } from './reading-page.ts';

/** Points of a page are at most this and a block more. Chosen by us: about 200 kB in memory. */
const pagePoints = 10_000;

const pageCorrections = 200;

type Turned = { readonly page: ReadingPage; readonly next: PagePlace | null };

const firstChannel: Channel = channelNames[0] ?? 'temperature';

/** Where a channel's readings or hours begin. */
const startOf = (kind: 'readings' | 'hours', channel: Channel): PagePlace => ({
  kind,
  channel,
  after: Number.NEGATIVE_INFINITY,
});

export const firstPlace: PagePlace = startOf('readings', firstChannel);

export const exportPage = (sql: SqlStorage, place: PagePlace): Turned => {
  switch (place.kind) {
    case 'readings':
      return readingsPage(sql, place.channel, place.after);
    case 'hours':
      return hoursPage(sql, place.channel, place.after);
    case 'corrections': {
      const rows = correctionsAfter(sql, place.after, pageCorrections);
      const last = rows.at(-1);
      return {
        page: { kind: 'corrections', corrections: rows.map(({ id: _, ...row }) => row) },
        next: last === undefined ? null : { kind: 'corrections', after: last.id },
      };
    }
  }
};

const channelAfter = (channel: Channel): Channel | undefined =>
  channelNames[channelNames.indexOf(channel) + 1];

const readingsPage = (sql: SqlStorage, from: Channel, begin: number): Turned => {
  const series: ReadingSeries[] = [];
  let room = pagePoints;
  let after = begin;
  for (let channel: Channel | undefined = from; channel !== undefined; ) {
    const parts: Points[] = [];
    for (const points of partsAfter(sql, channel, after)) {
      parts.push(points);
      room -= points.times.length;
      if (room <= 0) break;
    }
    const points = joinPoints(parts);
    if (points.times.length > 0) series.push({ channel, ...points });
    if (room <= 0)
      return {
        page: { kind: 'readings', series },
        next: { kind: 'readings', channel, after: points.times.at(-1) ?? after },
      };
    channel = channelAfter(channel);
    after = Number.NEGATIVE_INFINITY;
  }
  return { page: { kind: 'readings', series }, next: startOf('hours', firstChannel) };
};

const hoursPage = (sql: SqlStorage, from: Channel, begin: number): Turned => {
  let after = begin;
  for (let channel: Channel | undefined = from; channel !== undefined; ) {
    const hours = nextHours(sql, channel, after);
    const last = hours.at(-1);
    if (last !== undefined)
      return {
        page: { kind: 'hours', channel, hours },
        next: { kind: 'hours', channel, after: last.start },
      };
    channel = channelAfter(channel);
    after = Number.NEGATIVE_INFINITY;
  }
  return exportPage(sql, { kind: 'corrections', after: 0 });
};
