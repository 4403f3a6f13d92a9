/**
 * Takes a page of another vessel's export, or a piece of a back-fill. Taking it twice changes nothing.
 * Nothing is judged: old points are no news. Inside the caller's transaction.
 */
import type { Channel } from '../science/units/channel.ts';
import { putCorrectionOnce } from './correction-table.ts';
import { type Hour, hourOf, hourSeconds, putHours } from './hourly-table.ts';
import { joinPoints } from './packed/points.ts';
import { partsAfter } from './parts-after.ts';
import type { ReadingPage } from './reading-page.ts';
import { ascending } from './reading-series.ts';
import { storeSeries } from './reading-table.ts';
import { settleUpTo } from './settle-up-to.ts';
import type { StoredCounts } from './tally.ts';

export type ImportCounts = StoredCounts & {
  /** Readings of hours of which only least, mean and greatest value are kept; not stored. */
  readonly thinned: number;
  readonly hours: number;
  readonly corrections: number;
};

const nothing: ImportCounts = {
  stored: 0,
  repeated: 0,
  corrected: 0,
  thinned: 0,
  hours: 0,
  corrections: 0,
};

export const importPage = (sql: SqlStorage, page: ReadingPage, now: number): ImportCounts => {
  switch (page.kind) {
    case 'readings': {
      const byChannel = Map.groupBy(page.series, ({ channel }) => channel);
      const series = new Map(
        [...byChannel].map(([channel, parts]) => [channel, ascending(joinPoints(parts))] as const),
      );
      return { ...nothing, ...storeSeries(sql, series, now).counts };
    }
    case 'hours': {
      const hours = withoutDetail(sql, page.channel, page.hours);
      const last = hours.at(-1);
      if (last === undefined) return nothing;
      settleUpTo(sql, page.channel, last.start + hourSeconds, now);
      return { ...nothing, hours: putHours(sql, page.channel, hours) };
    }
    case 'corrections':
      return {
        ...nothing,
        corrections: page.corrections.filter((one) => putCorrectionOnce(sql, one)).length,
      };
  }
};

/** Hours of which no reading is here in full detail: those would be counted twice when they thin. */
const withoutDetail = (
  sql: SqlStorage,
  channel: Channel,
  hours: readonly Hour[],
): readonly Hour[] => {
  const from = hours[0]?.start ?? 0;
  const to = (hours.at(-1)?.start ?? 0) + hourSeconds;
  const detailed = new Set<number>();
  for (const points of partsAfter(sql, channel, from - hourSeconds)) {
    if ((points.times[0] ?? 0) >= to) break;
    for (const time of points.times) detailed.add(hourOf(time));
  }
  return hours.filter(({ start }) => !detailed.has(start));
};
