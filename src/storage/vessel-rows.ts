/** What a vessel's object knows apart from its readings, read with one query at the start of a call. */
import type { Batch } from '../monitoring/batch.ts';
import type { Vessel } from '../monitoring/vessel.ts';
import { resumeWatch, type WatchState } from '../monitoring/watch.ts';
import type { Watched } from '../monitoring/watched.ts';
import type { Absence, PlannedWakeUp } from './absence.ts';
import { readDocuments } from './document-table.ts';
import { hasTables } from './migrations.ts';

/** What the vessel knows of itself. */
export type Identity = { readonly cellar: string; readonly vessel: Vessel };

export type VesselRows = {
  readonly identity: Identity;
  /** The last batch, which may have ended. */
  readonly batch: Batch | null;
  /**
   * What monitoring is told: a batch that has ended is no batch, and silence over an absence of ours is
   * no sensor's fault.
   */
  readonly watched: Watched & { readonly absence: Absence | null };
  readonly state: WatchState;
  readonly planned: PlannedWakeUp | null;
  /** When Gyleward itself was last away; null if it never was. */
  readonly absence: Absence | null;
};

/** Null where the vessel was never created. */
export const readVessel = (sql: SqlStorage, now: number): VesselRows | null => {
  if (!hasTables(sql)) return null;
  const documents = readDocuments(sql, ['identity', 'batch', 'watch', 'wake-up', 'absence']);
  const identity = documents.identity as Identity | undefined;
  if (identity === undefined) return null;
  const batch = (documents.batch as Batch | undefined) ?? null;
  const known = (documents.absence as Absence | undefined) ?? null;
  // One that ends after now was told by a clock that has been set back since; it would excuse silence.
  const absence = known !== null && known.to <= now ? known : null;
  const present = batch?.endedAt === null ? batch : null;
  const watched = { vessel: identity.vessel, batch: present, absence };
  return {
    identity,
    batch,
    watched,
    state: resumeWatch(documents.watch as WatchState | undefined, watched, now),
    planned: (documents['wake-up'] as PlannedWakeUp | undefined) ?? null,
    absence,
  };
};
