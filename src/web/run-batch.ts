/**
 * Starts, moves on and ends a batch. The name is reserved in the cellar's list first and given back
 * if the vessel refuses; repeating the same request after a failure heals what it left.
 */
import type * as z from 'zod';
import { type Batch, firstStage, type Stage } from '../monitoring/batch.ts';
import { type Deed, withDeed } from '../monitoring/stages/deed.ts';
import type { OwnLimits } from '../monitoring/stages/limits.ts';
import type { ListedBatch } from '../storage/batch-list-table.ts';
import { cellarStub, type Env, vesselStub } from '../storage/env.ts';
import type { batchBody, deedBody } from './contract.ts';
import { Refusal } from './fault.ts';

export type PlacedBatch = Batch & { readonly vessel: string };

export const startBatch = async (
  env: Env,
  cellar: string,
  body: z.output<typeof batchBody>,
  by: string,
  now: number,
): Promise<PlacedBatch> => {
  const list = cellarStub(env, cellar);
  const vessel = (await list.vessels()).find((listed) => listed.vessel === body.vessel);
  if (vessel === undefined)
    throw new Refusal({ kind: 'not-found', what: 'vessel', name: body.vessel });
  if (body.startedAt !== undefined && body.startedAt > now)
    throw new Refusal({
      kind: 'fields',
      fields: [
        { field: 'startedAt', detail: `must not lie in the future (found ${body.startedAt})` },
      ],
    });
  const { vessel: _, stage, startedAt, deeds = [], ...facts } = body;
  const begun: Batch = {
    ...facts,
    stage: stage ?? firstStage[vessel.kind],
    startedAt: startedAt ?? now,
    endedAt: null,
  };
  const batch = deeds.reduce<Batch>(
    (sofar, deed, index) => withDeed(sofar, deedOf(begun, deed, `deeds.${index}.at`, by, now)),
    begun,
  );
  const taken = await list.listBatch(batch, body.vessel);
  if (taken !== null)
    throw new Refusal({
      kind: 'name-taken',
      what: 'batch',
      name: batch.batch,
      advice: `it is the name of a batch in ${taken.vessel}; choose another`,
    });
  const started = await vesselStub(env, cellar, body.vessel).startBatch(batch, now);
  if (!started.ok) {
    await list.unlistBatch(batch.batch);
    throw new Refusal({ kind: 'batch', fault: started.fault });
  }
  return { ...batch, vessel: body.vessel };
};

export const findBatch = async (env: Env, cellar: string, name: string): Promise<ListedBatch> => {
  const listed = await cellarStub(env, cellar).batch(name);
  if (listed === null) throw new Refusal({ kind: 'not-found', what: 'batch', name });
  return listed;
};

export const changeStage = async (
  env: Env,
  cellar: string,
  name: string,
  stage: Stage,
  now: number,
): Promise<PlacedBatch> => {
  const { vessel } = await findBatch(env, cellar, name);
  const changed = await vesselStub(env, cellar, vessel).changeStage(name, stage, now);
  if (!changed.ok) throw new Refusal({ kind: 'batch', fault: changed.fault });
  await cellarStub(env, cellar).updateBatch(changed.value, vessel, null);
  return { ...changed.value, vessel };
};

/** Replaces the limits that the batch sets of its own. */
export const setLimits = async (
  env: Env,
  cellar: string,
  name: string,
  limits: OwnLimits,
  now: number,
): Promise<PlacedBatch> => {
  const { vessel } = await findBatch(env, cellar, name);
  const changed = await vesselStub(env, cellar, vessel).setLimits(name, limits, now);
  if (!changed.ok) throw new Refusal({ kind: 'batch', fault: changed.fault });
  await cellarStub(env, cellar).updateBatch(changed.value, vessel, null);
  return { ...changed.value, vessel };
};

const deedOf = (
  { startedAt }: Batch,
  { deed, at, note }: z.output<typeof deedBody>,
  field: string,
  by: string,
  now: number,
): Deed => {
  const done = at ?? now;
  if (done > now || done < startedAt)
    throw new Refusal({
      kind: 'fields',
      fields: [
        {
          field,
          detail: `must lie between the start of the batch, ${startedAt}, and the present (found ${done})`,
        },
      ],
    });
  return { deed, at: done, by, note };
};

/** Writes down what somebody did to the batch, such as topping its barrel. */
export const recordDeed = async (
  env: Env,
  { cellar, batch: name }: { readonly cellar: string; readonly batch: string },
  body: z.output<typeof deedBody>,
  by: string,
  now: number,
): Promise<PlacedBatch> => {
  const { vessel, batch } = await findBatch(env, cellar, name);
  const deed = deedOf(batch, body, 'at', by, now);
  const changed = await vesselStub(env, cellar, vessel).recordDeed(name, deed, now);
  if (!changed.ok) throw new Refusal({ kind: 'batch', fault: changed.fault });
  await cellarStub(env, cellar).updateBatch(changed.value, vessel, null);
  return { ...changed.value, vessel };
};

export const endBatch = async (
  env: Env,
  cellar: string,
  name: string,
  now: number,
): Promise<PlacedBatch> => {
  const { vessel } = await findBatch(env, cellar, name);
  const ended = await vesselStub(env, cellar, vessel).endBatch(name, now);
  if (!ended.ok) throw new Refusal({ kind: 'batch', fault: ended.fault });
  await cellarStub(env, cellar).updateBatch(ended.value.batch, vessel, ended.value.finalStatus);
  return { ...ended.value.batch, vessel };
};
