/**
 * What people do to a batch and write down by hand: topping a barrel, testing its sulphur dioxide, moving the
 * batch on. The clocks of a stage count from these. Pure: no I/O, no clock.
 */
import type { Batch, Stage } from '../batch.ts';

export const deedKinds = ['topped', 'tested'] as const;

export type DeedKind = (typeof deedKinds)[number];

export type Deed = {
  readonly deed: DeedKind;
  /** Unix seconds at which it was done. */
  readonly at: number;
  /** Who wrote it down. */
  readonly by: string;
  readonly note: string | null;
};

/** Deeds kept with a batch, latest by time. Chosen by us: five years of monthly topping. */
const deedsKept = 60;

/** The batch with a deed added; the same deed at the same time replaces the one before. */
export const withDeed = (batch: Batch, deed: Deed): Batch => ({
  ...batch,
  deeds: [
    ...(batch.deeds ?? []).filter((one) => one.deed !== deed.deed || one.at !== deed.at),
    deed,
  ]
    .sort((one, other) => one.at - other.at)
    .slice(-deedsKept),
});

/** Unix seconds at which a deed was last done; null where it never was. */
export const lastDone = (batch: Batch, kind: DeedKind): number | null =>
  (batch.deeds ?? []).findLast(({ deed }) => deed === kind)?.at ?? null;

/** The batch in another stage, whose clocks begin at `now`; setting the same stage again changes nothing. */
export const movedOn = (batch: Batch, stage: Stage, now: number): Batch =>
  stage === batch.stage ? batch : { ...batch, stage, stageStartedAt: now };
