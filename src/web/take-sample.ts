/**
 * Takes a sample by hand into a vessel's batch: corrects the hydrometer for the sample's temperature, by what
 * the batch has fermented so far, and hands it to the vessel. Used by the JSON interface and the page alike.
 */
import type * as z from 'zod';
import type { HandSample } from '../monitoring/hand-sample.ts';
import { describeFault } from '../science/fault.ts';
import { gravityFromHydrometer } from '../science/hydrometer.ts';
import { type Env, vesselStub } from '../storage/env.ts';
import type { sampleBody } from './contract.ts';
import { Refusal } from './fault.ts';

/**
 * Alcohol that the correction assumes where the batch's own is not known: a young beer,
 * halfway. Assumption: 2.5 % vol too many or too few moves the correction by under a fifth
 * of a point from 5 to 38 °C.
 */
const unknownAlcoholPercent = 2.5;

export const takeSample = async (
  env: Env,
  { cellar, vessel: name }: { readonly cellar: string; readonly vessel: string },
  body: z.output<typeof sampleBody>,
  by: string,
  now: number,
): Promise<HandSample> => {
  const stub = vesselStub(env, cellar, name);
  const view = await stub.view(now);
  if (view === null) throw new Refusal({ kind: 'not-found', what: 'vessel', name });
  const time = body.time ?? now;
  if (time > now)
    throw new Refusal({
      kind: 'fields',
      fields: [{ field: 'time', detail: `must not lie in the future (found ${time})` }],
    });
  const { readingGravity, sampleTemperatureCelsius } = body;
  let gravity: number | null = null;
  if (readingGravity !== null && sampleTemperatureCelsius !== null) {
    const corrected = gravityFromHydrometer({
      readingGravity,
      sampleTemperatureCelsius,
      calibrationTemperatureCelsius: body.calibrationTemperatureCelsius,
      alcoholByVolumePercent:
        view.status.fermentation?.alcoholByVolumePercent ?? unknownAlcoholPercent,
    });
    if (!corrected.ok)
      throw new Refusal({
        kind: 'fields',
        fields: [{ field: 'readingGravity', detail: describeFault(corrected.fault) }],
      });
    gravity = Number(corrected.value.toFixed(5));
  }
  const sample: HandSample = {
    time,
    gravity,
    readingGravity,
    sampleTemperatureCelsius,
    ph: body.ph,
    by,
    note: body.note,
  };
  const kept = await stub.addSample(sample, now);
  if (!kept.ok) throw new Refusal({ kind: 'batch', fault: kept.fault });
  return sample;
};
