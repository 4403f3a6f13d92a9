/**
 * Lets the watch know the readings that were imported of its running batch, in silence and in bounded steps, so that
 * live readings do not wait: until the last step they are judged by the watch as it was, and the last step takes in
 * those that arrived meanwhile. Inside the caller's transaction.
 */
import {
  beginRecall,
  recalledTogetherSeconds,
  recallOn,
  type WatchState,
  withRecalled,
} from '../monitoring/watch.ts';
import type { Point, Watched } from '../monitoring/watched.ts';
import { channelNames } from '../science/units/channel.ts';
import { readDocument, removeDocument, writeDocument } from './document-table.ts';
import { enteredLateSeconds } from './judged-readings.ts';
import { partsAfter } from './parts-after.ts';
import type { ReadingSeries } from './reading-page.ts';
import type { VesselRows } from './vessel-rows.ts';

type Recall = {
  /** Unix seconds at which to go on, if nobody asks before. */
  readonly dueAt: number;
  /** The batch that is being recalled, up to when, and what is remembered of it so far; null before the first step. */
  readonly place: {
    readonly batch: string;
    readonly upTo: number;
    readonly state: WatchState;
  } | null;
};

const documentName = 'recall';

/** Chosen by us: a sender who goes on with a back-fill does so within this, and each piece would begin anew. */
const afterImportSeconds = 300;

/** Chosen by us: 28 spans of six hours are a week, half a second or so of work. */
const spansPerStep = 28;

/** Unix seconds at which there is something to recall; null where there is nothing. */
export const recallDue = (sql: SqlStorage): number | null =>
  readDocument<Recall>(sql, documentName)?.dueAt ?? null;

/** Asks for it where what was imported tells of the running batch. */
export const askForRecall = (
  sql: SqlStorage,
  { batch }: Watched,
  series: readonly ReadingSeries[],
  now: number,
): void => {
  if (batch === null) return;
  const from = batch.startedAt - enteredLateSeconds;
  if (!series.some(({ times }) => times.some((time) => time >= from))) return;
  writeDocument(sql, documentName, {
    dueAt: now + afterImportSeconds,
    place: null,
  } satisfies Recall);
};

/** Asks for all of the batch to be recalled at once, as when it comes from an archive. */
export const askForRecallNow = (sql: SqlStorage, now: number): void =>
  writeDocument(sql, documentName, { dueAt: now, place: null } satisfies Recall);

/** One step; true while there is more to recall. */
export const recallStep = (sql: SqlStorage, rows: VesselRows, now: number): boolean => {
  const { watched } = rows;
  const known = readDocument<Recall>(sql, documentName);
  if (known === null) return false;
  if (watched.batch === null) {
    removeDocument(sql, documentName);
    return false;
  }
  const { batch, startedAt } = watched.batch;
  const from = startedAt - enteredLateSeconds;
  let place =
    known.place?.batch === batch
      ? known.place
      : { batch, upTo: from, state: beginRecall(watched, from) };
  for (let span = 0; span < spansPerStep; span += 1) {
    if (place.upTo >= now) break;
    const upTo = Math.min(now, place.upTo + recalledTogetherSeconds);
    const points = pointsWithin(sql, place.upTo, upTo);
    place = { batch, upTo, state: recallOn(watched, place.state, points, upTo) };
  }
  if (place.upTo < now) {
    writeDocument(sql, documentName, { dueAt: now, place } satisfies Recall);
    return true;
  }
  writeDocument(sql, 'watch', withRecalled(rows.state, place.state));
  removeDocument(sql, documentName);
  return false;
};

/** Readings in full detail of (from, to], all channels together. */
const pointsWithin = (sql: SqlStorage, from: number, to: number): readonly Point[] => {
  const points: Point[] = [];
  for (const channel of channelNames) {
    for (const { times, values } of partsAfter(sql, channel, from)) {
      for (const [index, time] of times.entries())
        if (time <= to) points.push({ channel, time, value: values[index] ?? 0 });
      if ((times.at(-1) ?? to) >= to) break;
    }
  }
  return points;
};
