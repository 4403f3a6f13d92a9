/**
 * Which alarm kinds apply to a vessel at a stage; what does not apply is suppressed and says why.
 * Common practice, no source. Pure: no I/O, no clock.
 */
import type { AlarmKind } from './alarm.ts';
import type { Watched } from './watched.ts';

/** Null where the kind applies; else the reason it does not, as the rest of "suppressed: ...". */
export const whyNot = (kind: AlarmKind, { vessel, batch }: Watched): string | null => {
  switch (kind) {
    case 'over-pressure':
      return vessel.ratedGaugePressurePascal === null ? 'the vessel has no rated pressure' : null;
    case 'temperature':
      if (batch === null && vessel.kind !== 'room') return 'no batch is in the vessel';
      if (batch?.temperatureBand || vessel.temperatureBand) return null;
      // Without a band, only a fermentation tells by itself when it grows too cold.
      return batch?.stage === 'fermentation'
        ? null
        : 'neither the batch nor the vessel names a temperature band';
    case 'stall':
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
  }
};
