/** Passes a person's act on to the vessel; a refusal names the alarm and the state it is in. */
import type { Act } from '../monitoring/watch.ts';
import { type Env, vesselStub } from '../storage/env.ts';
import { Refusal } from './fault.ts';

export const answerAlarm = async (
  env: Env,
  { cellar, vessel }: { readonly cellar: string; readonly vessel: string },
  act: Act,
  now: number,
): Promise<void> => {
  const answered = await vesselStub(env, cellar, vessel).act(act, now);
  if (!answered.ok) throw new Refusal({ kind: 'act', fault: answered.fault });
};
