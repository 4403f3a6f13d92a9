/** What is answered of a batch. Pure data. */
import * as z from 'zod';
import { type Batch, drinks, stages } from '../../../monitoring/batch.ts';
import type { HandSample } from '../../../monitoring/hand-sample.ts';
import { type Deed, deedKinds } from '../../../monitoring/stages/deed.ts';
import type { OwnLimits } from '../../../monitoring/stages/limits.ts';
import { limitsBody } from '../../limits-body.ts';
import { answerNamed } from '../schema-book.ts';

const maybe = z.number().nullable();

const ownLimits = answerNamed<OwnLimits>()('OwnLimits', limitsBody);

export const handSample = answerNamed<HandSample>()(
  'HandSample',
  z.strictObject({
    time: z.number(),
    gravity: maybe,
    readingGravity: maybe,
    sampleTemperatureCelsius: maybe,
    ph: maybe,
    by: z.string(),
    note: z.string().nullable(),
  }),
);

const deed = answerNamed<Deed>()(
  'Deed',
  z.strictObject({
    deed: z.enum(deedKinds),
    at: z.number(),
    by: z.string(),
    note: z.string().nullable(),
  }),
);

const facts = {
  batch: z.string(),
  title: z.string(),
  drink: z.enum(drinks),
  stage: z.enum(stages),
  startedAt: z.number(),
  endedAt: maybe,
  originalGravity: maybe,
  expectedTerminalGravity: maybe,
  attenuationLimit: maybe,
  temperatureBand: z.strictObject({ lowCelsius: z.number(), highCelsius: z.number() }).nullable(),
  carbonationVolumes: maybe,
  samples: z.array(handSample).readonly().exactOptional(),
  stageStartedAt: z.number().exactOptional(),
  limits: ownLimits.exactOptional(),
  deeds: z.array(deed).readonly().exactOptional(),
  fermentableGramPerLitre: maybe.exactOptional(),
};

export const batch = answerNamed<Batch>()('Batch', z.strictObject(facts));

export const placedBatch = answerNamed<Batch & { readonly vessel: string }>()(
  'PlacedBatch',
  z.strictObject({ ...facts, vessel: z.string() }),
);
