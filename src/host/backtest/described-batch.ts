/** A past batch in its vessel as a person described it, and as the watch takes it. Pure: no I/O, no clock. */
import { type Drink, firstStage, type Stage } from '../../monitoring/batch.ts';
import type { TemperatureBand, VesselKind } from '../../monitoring/vessel.ts';
import type { Watched } from '../../monitoring/watched.ts';

export type DescribedBatch = {
  readonly title: string;
  readonly drink: Drink;
  readonly stage: Stage;
  readonly originalGravity: number | null;
  readonly expectedTerminalGravity: number | null;
  readonly attenuationLimit: number | null;
  /** What a hydrometer said at the end; null where nobody noted it. */
  readonly finalGravity: number | null;
  readonly temperatureBand: TemperatureBand | null;
  readonly volumeLitre: number;
  readonly headspaceLitre: number;
  readonly ratedGaugePressurePascal: number | null;
  readonly reliefGaugePressurePascal: number | null;
  readonly carbonationVolumes: number | null;
  readonly gasConnected: boolean;
  readonly zoneOffsetSeconds: number | null;
  /** Unix seconds. */
  readonly startedAt: number | null;
  readonly endedAt: number | null;
  /** What was not said and is supposed instead, as sentences. */
  readonly supposed: readonly string[];
};

const kindAtStage = (stage: Stage): VesselKind =>
  (Object.keys(firstStage) as VesselKind[]).find((kind) => firstStage[kind] === stage) ??
  'fermenter';

/** The batch in its vessel, as the watch takes it. */
export const watchedOf = (batch: DescribedBatch, startedAt: number): Watched => ({
  vessel: {
    vessel: 'vessel',
    title: batch.title,
    kind: kindAtStage(batch.stage),
    volumeLitre: batch.volumeLitre,
    headspaceLitre: batch.headspaceLitre,
    ratedGaugePressurePascal: batch.ratedGaugePressurePascal,
    reliefGaugePressurePascal: batch.reliefGaugePressurePascal,
    gasConnected: batch.gasConnected,
    temperatureBand: null,
  },
  batch: {
    batch: 'batch',
    title: batch.title,
    drink: batch.drink,
    stage: batch.stage,
    startedAt,
    endedAt: null,
    originalGravity: batch.originalGravity,
    expectedTerminalGravity: batch.expectedTerminalGravity,
    attenuationLimit: batch.attenuationLimit,
    temperatureBand: batch.temperatureBand,
    carbonationVolumes: batch.carbonationVolumes,
  },
});
