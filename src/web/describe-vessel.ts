/**
 * Creates or replaces a vessel. The vessel's own object is written first and the cellar's list
 * second, so that a listed vessel always exists; a failure in between leaves nothing listed.
 */
import type { Vessel } from '../monitoring/vessel.ts';
import { cellarStub, type Env, vesselStub } from '../storage/env.ts';
import { Refusal } from './fault.ts';

/** Creates the vessel, or replaces its description where it exists. */
export const describeVessel = async (
  env: Env,
  cellar: string,
  vessel: Vessel,
  now: number,
): Promise<void> => {
  await vesselStub(env, cellar, vessel.vessel).configure(cellar, vessel, now);
  await cellarStub(env, cellar).listVessel(vessel);
};

const isListed = async (env: Env, cellar: string, name: string): Promise<boolean> =>
  (await cellarStub(env, cellar).vessels()).some((listed) => listed.vessel === name);

export const createVessel = async (
  env: Env,
  cellar: string,
  vessel: Vessel,
  now: number,
): Promise<void> => {
  if (await isListed(env, cellar, vessel.vessel))
    throw new Refusal({
      kind: 'name-taken',
      what: 'vessel',
      name: vessel.vessel,
      advice: 'choose another name, or replace its description with PUT',
    });
  await describeVessel(env, cellar, vessel, now);
};

export const replaceVessel = async (
  env: Env,
  cellar: string,
  vessel: Vessel,
  now: number,
): Promise<void> => {
  if (!(await isListed(env, cellar, vessel.vessel)))
    throw new Refusal({ kind: 'not-found', what: 'vessel', name: vessel.vessel });
  await describeVessel(env, cellar, vessel, now);
};
