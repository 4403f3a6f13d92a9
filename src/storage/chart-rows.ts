/** A vessel's readings reduced for a chart: envelopes per bucket, and the curve over the same span. */

import type { Watched } from '../monitoring/watched.ts';
import type { Estimate } from '../science/estimate.ts';
import type { Channel } from '../science/units/channel.ts';
import { type Envelope, readingEnvelopes } from './reading-envelopes.ts';
import { readingSpan } from './reading-span.ts';

export type ChartRows = {
  /** Unix seconds of the middle of each bucket. */
  readonly times: readonly number[];
  readonly series: Readonly<Partial<Record<Channel, Envelope>>>;
  readonly curve: {
    readonly times: readonly number[];
    readonly value: readonly number[];
    readonly low: readonly number[];
    readonly high: readonly number[];
  } | null;
};

/** How far a forecast is drawn beyond the present, as a share of the span shown. */
const forecastShare = 0.25;
const curvePoints = 160;

const evenly = (from: number, to: number, count: number): readonly number[] =>
  Array.from({ length: count }, (_, index) => from + ((index + 0.5) * (to - from)) / count);

/**
 * Without bounds the span is that of the batch, or of all readings where there is no batch.
 * A vessel without readings gives empty arrays.
 */
export const chartRows = (
  sql: SqlStorage,
  watched: Watched,
  wanted: { readonly from: number | null; readonly to: number | null; readonly buckets: number },
  now: number,
  curveAt: (times: readonly number[]) => readonly Estimate[] | null,
): ChartRows => {
  const known = readingSpan(
    sql,
    wanted.from ?? watched.batch?.startedAt ?? Number.MIN_SAFE_INTEGER,
    wanted.to ?? Number.MAX_SAFE_INTEGER,
  );
  if (known === null) return { times: [], series: {}, curve: null };
  const from = wanted.from ?? known.first;
  const to = Math.max(wanted.to ?? known.last + 1, from + 1);
  const curveTimes = evenly(
    from,
    wanted.to === null ? Math.max(to, now) + (to - from) * forecastShare : to,
    curvePoints,
  );
  const estimates = curveAt(curveTimes);
  return {
    times: evenly(from, to, wanted.buckets),
    series: readingEnvelopes(sql, from, to, wanted.buckets),
    curve:
      estimates === null
        ? null
        : {
            times: curveTimes,
            value: estimates.map((estimate) => estimate.value),
            low: estimates.map((estimate) => estimate.low),
            high: estimates.map((estimate) => estimate.high),
          },
  };
};
