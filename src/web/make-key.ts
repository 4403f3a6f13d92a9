/** Makes and revokes keys, for the JSON interface and the page alike. */
import type * as z from 'zod';
import { cellarStub, type Env } from '../storage/env.ts';
import { forgetAdmissions } from './admission.ts';
import { newKey } from './cellar-key.ts';
import type { keyBody } from './contract.ts';
import { Refusal } from './fault.ts';

export type MadeKey = { readonly keyId: string; readonly key: string };

export const makeKey = async (
  env: Env,
  cellar: string,
  { title, role, vessels, expiresAt }: z.output<typeof keyBody>,
  now: number,
): Promise<MadeKey> => {
  const listed = (await cellarStub(env, cellar).vessels()).map(({ vessel }) => vessel);
  const unknown = (vessels ?? []).find((vessel) => !listed.includes(vessel));
  if (unknown !== undefined)
    throw new Refusal({ kind: 'not-found', what: 'vessel', name: unknown });
  if (expiresAt !== null && expiresAt <= now)
    throw new Refusal({
      kind: 'fields',
      fields: [{ field: 'expiresAt', detail: `must lie in the future (found ${expiresAt})` }],
    });
  const { id, key, hash } = await newKey(cellar);
  await cellarStub(env, cellar).addKey({ keyId: id, title, role, vessels, expiresAt }, hash, now);
  return { keyId: id, key };
};

export const revokeKey = async (
  env: Env,
  cellar: string,
  id: string,
  now: number,
): Promise<void> => {
  const outcome = await cellarStub(env, cellar).revokeKey(id, now);
  if (outcome === 'unknown') throw new Refusal({ kind: 'not-found', what: 'key', name: id });
  if (outcome === 'last-keeper') throw new Refusal({ kind: 'last-keeper' });
  forgetAdmissions();
};
