/** The watch over floods in one cellar, kept as a document beside its rows. Inside the caller's transaction. */
import type { AlarmChange } from '../monitoring/alarms/alarm.ts';
import {
  type FloodChange,
  type FloodStep,
  type FloodWatch,
  floodAfter,
  floodAt,
  floodEndsAt,
  noFlood,
} from '../monitoring/alarms/flood.ts';
import { readDocument, writeDocument } from './document-table.ts';

/** Takes one step of an alarm; says what it makes of it. */
export const countForFlood = (
  sql: SqlStorage,
  vessel: string,
  change: AlarmChange,
  now: number,
): readonly FloodChange[] => {
  const before = readFlood(sql);
  // The clock of a cellar may be set back; a flood's does not run backwards.
  const moment = Math.max(now, before.recent.at(-1)?.at ?? now);
  return keep(sql, before, floodAfter(before, vessel, change, moment));
};

/** Lets the clock run. */
export const floodBy = (sql: SqlStorage, now: number): readonly FloodChange[] => {
  const before = readFlood(sql);
  return keep(sql, before, floodAt(before, now));
};

/** Unix seconds at which a flood ends if nothing comes; null while there is none. */
export const floodDue = (sql: SqlStorage): number | null => floodEndsAt(readFlood(sql));

const readFlood = (sql: SqlStorage): FloodWatch =>
  readDocument<FloodWatch>(sql, 'flood') ?? noFlood;

const keep = (
  sql: SqlStorage,
  before: FloodWatch,
  { watch, changes }: FloodStep,
): readonly FloodChange[] => {
  if (watch !== before) writeDocument(sql, 'flood', watch);
  return changes;
};
