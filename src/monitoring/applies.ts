/**
 * Which alarm kinds apply to a vessel at a stage; what does not apply is suppressed and says why.
 * Common practice, no source. Pure: no I/O, no clock.
 */
import type { AlarmKind } from './alarms/alarm.ts';
import type { Stage } from './batch.ts';
import { isFoodRuled } from './stages/cold-steep.ts';
import { bandInForce, limitOf } from './stages/limits.ts';
import { stagesOfKind } from './stages/stage-kinds.ts';
import type { Watched } from './watched.ts';

/** Null where the kind applies; else the reason it does not, as the rest of "suppressed: ...". */
export const whyNot = (kind: AlarmKind, watched: Watched): string | null => {
  const { vessel, batch } = watched;
  switch (kind) {
    case 'over-pressure':
      return vessel.ratedGaugePressurePascal === null ? 'the vessel has no rated pressure' : null;
    case 'temperature':
      if (batch === null && vessel.kind !== 'room') return 'no batch is in the vessel';
      if (bandInForce(watched) !== null) return null;
      // Without a band, only a fermentation tells by itself when it grows too cold.
      if (batch?.stage === 'fermentation') return null;
      return batch !== null && (batch.temperatureBand ?? vessel.temperatureBand) !== null
        ? `the stage ${batch.stage} has limits of its own`
        : 'neither the batch nor the vessel names a temperature band';
    case 'stall':
    case 'misreading-sensor':
    case 'sluggish':
      if (batch === null) return 'no batch is in the vessel';
      return batch.stage === 'fermentation' ? null : `the batch is at the stage ${batch.stage}`;
    case 'silent-sensor':
    case 'stuck-sensor':
      return batch === null && vessel.kind !== 'room' ? 'no batch is in the vessel' : null;
    case 'over-pressure-ahead':
      if (batch === null) return 'no batch is in the vessel';
      return vessel.ratedGaugePressurePascal === null ? 'the vessel has no rated pressure' : null;
    case 'refermentation':
    case 'leak':
      if (batch === null) return 'no batch is in the vessel';
      if (vessel.gasConnected) return 'a gas supply holds the pressure';
      return batch.stage === 'keg' || batch.stage === 'conditioning'
        ? null
        : `the batch is at the stage ${batch.stage}`;
    case 'air-danger':
    case 'air-short-term':
    case 'air-working-day':
    case 'low-oxygen':
      return null;
    case 'food-safety':
      // It stays with the batch whatever its stage: moving it on makes nothing safe.
      if (batch === null) return 'no batch is in the vessel';
      return isFoodRuled(watched) ? null : 'the drink is fermented, which these rules leave out';
    case 'food-safety-ahead':
    case 'low-acid':
      return (
        outsideStage(kind, watched) ??
        (isFoodRuled(watched) ? null : 'the drink is fermented, which these rules leave out')
      );
    case 'time-reached':
      return (
        outsideStage(kind, watched) ?? (hasStepClock(watched) ? null : 'no time is set for it')
      );
    case 'overdue-topping':
      return outsideStage(kind, watched) ?? unset(limitOf(watched, 'ageing', 'toppingSeconds'));
    case 'overdue-test':
      return outsideStage(kind, watched) ?? unset(limitOf(watched, 'ageing', 'testingSeconds'));
    case 'overshoot':
      return (
        outsideStage(kind, watched) ?? unset(limitOf(watched, 'mash-rest', 'overshootCelsius'))
      );
    case 'relief-chatter':
      return (
        outsideStage(kind, watched) ??
        (vessel.reliefGaugePressurePascal === null ? 'the vessel has no relief setting' : null)
      );
    case 'too-warm-to-pitch':
      // One fact, one alarm: a batch that came in as fermentation is watched by its band.
      return (
        outsideStage(kind, watched) ??
        (batch?.stageStartedAt === undefined && bandInForce(watched) !== null
          ? 'the temperature band watches it'
          : null)
      );
    case 'not-boiling':
    case 'slow-cooling':
    case 'blocked-vent':
    case 'gravity-movement':
    case 'pressure-band':
    case 'refermentation-potential':
      return outsideStage(kind, watched);
  }
};

const outsideStage = (kind: keyof typeof stagesOfKind, { batch }: Watched): string | null => {
  if (batch === null) return 'no batch is in the vessel';
  const stages: readonly Stage[] = stagesOfKind[kind];
  return stages.includes(batch.stage) ? null : `the batch is at the stage ${batch.stage}`;
};

const unset = (limit: number | null): string | null =>
  limit === null ? 'this limit is switched off' : null;

const hasStepClock = (watched: Watched): boolean => {
  switch (watched.batch?.stage) {
    case 'mash-rest':
      return limitOf(watched, 'mash-rest', 'restSeconds') !== null;
    case 'boil':
      return limitOf(watched, 'boil', 'boilSeconds') !== null;
    case 'cold-steep':
      return limitOf(watched, 'cold-steep', 'steepSeconds') !== null;
    default:
      return false;
  }
};
