/** Adds and removes receivers, for the JSON interface and the page alike. */
import type * as z from 'zod';
import { cellarStub, type Env } from '../storage/env.ts';
import { webhookSecretFaultInWords, webhookSecretOf } from '../wire/webhook-secret.ts';
import type { receiverBody } from './contract.ts';
import { Refusal } from './fault.ts';
import { quote } from './quote.ts';
import { receiverAddressFault } from './receiver-address.ts';

export type MadeReceiver = {
  readonly id: string;
  readonly title: string;
  readonly url: string;
  /** The signing secret of Standard Webhooks, shown once. */
  readonly secret: string;
};

export const addReceiver = async (
  env: Env,
  cellar: string,
  { title, url }: z.output<typeof receiverBody>,
  now: number,
): Promise<MadeReceiver> => {
  const fault = receiverAddressFault(url, env.ALLOW_PRIVATE_RECEIVERS === 'yes');
  if (fault !== null)
    throw new Refusal({
      kind: 'fields',
      fields: [{ field: 'url', detail: `${fault} (found ${quote(url)})` }],
    });
  const receiver = { id: `rcv_${crypto.randomUUID()}`, title, url };
  const secret = webhookSecretOf(crypto.getRandomValues(new Uint8Array(32)));
  if (!secret.ok) throw new Error(webhookSecretFaultInWords(secret.fault));
  await cellarStub(env, cellar).addReceiver(receiver, secret.value, now);
  return { ...receiver, secret: secret.value };
};

export const removeReceiver = async (env: Env, cellar: string, id: string): Promise<void> => {
  if (!(await cellarStub(env, cellar).removeReceiver(id)))
    throw new Refusal({ kind: 'not-found', what: 'receiver', name: id });
};
