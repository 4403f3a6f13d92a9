/**
 * What a keeper does to receivers, for the JSON interface and the page alike: adds and removes them, tries
 * them, gives them another duty or secret, and sends again what was given up. Each is journalled with who did it.
 */
import type * as z from 'zod';
import type { Duty } from '../monitoring/alarms/duty.ts';
import { ok } from '../result.ts';
import type { DeadLetter } from '../storage/dead-letters.ts';
import { cellarStub, type Env } from '../storage/env.ts';
import type { JournalEntry } from '../storage/journal-entry.ts';
import { log } from '../storage/log.ts';
import type { Way } from '../storage/receiver-table.ts';
import { checkTemplate, templateFaultInWords } from '../wire/message-template.ts';
import { receiverAddressFault } from '../wire/receiver-address.ts';
import { webhookSecretFaultInWords, webhookSecretOf } from '../wire/webhook-secret.ts';
import type { receiverBody } from './contract.ts';
import { Refusal } from './fault.ts';
import { quote } from './quote.ts';

export type MadeReceiver = {
  readonly id: string;
  readonly title: string;
  readonly url: string;
  /** The signing secret of Standard Webhooks, shown once; null for a mail relay, which is not signed for. */
  readonly secret: string | null;
};

/** A person's act on a receiver: in which cellar, on which receiver, and who. */
export type ReceiverAct = {
  readonly cellar: string;
  readonly receiver: string;
  readonly by: string;
};

/** Writes down who did what; the journal is kept, the log line is for whoever runs the worker. */
export const noteReceiver = async (
  env: Env,
  act: JournalEntry['act'],
  { cellar, receiver, by }: ReceiverAct,
  now: number,
  facts: JournalEntry['facts'] = {},
): Promise<void> => {
  log(act, { cellar, receiver, by });
  await cellarStub(env, cellar).enterJournal({
    at: now,
    by,
    act,
    about: receiver,
    note: null,
    facts,
  });
};

const noReceiver = (name: string): Refusal =>
  new Refusal({ kind: 'not-found', what: 'receiver', name });

const newSigningSecret = (): string => {
  const secret = webhookSecretOf(crypto.getRandomValues(new Uint8Array(32)));
  if (!secret.ok) throw new Error(webhookSecretFaultInWords(secret.fault));
  return secret.value;
};

const requireVessels = async (env: Env, cellar: string, { vessels }: Duty): Promise<void> => {
  const listed = (await cellarStub(env, cellar).vessels()).map(({ vessel }) => vessel);
  const unknown = vessels?.find((vessel) => !listed.includes(vessel));
  if (unknown !== undefined)
    throw new Refusal({ kind: 'not-found', what: 'vessel', name: unknown });
};

export const addReceiver = async (
  env: Env,
  cellar: string,
  { title, url, duty, template }: z.output<typeof receiverBody>,
  by: string,
  now: number,
): Promise<MadeReceiver> => {
  const fault = receiverAddressFault(url, env.ALLOW_PRIVATE_RECEIVERS === 'yes');
  if (fault !== null)
    throw new Refusal({
      kind: 'fields',
      fields: [{ field: 'url', detail: `${fault} (found ${quote(url)})` }],
    });
  await requireVessels(env, cellar, duty);
  const receiver = { id: `rcv_${crypto.randomUUID()}`, title, url };
  const held = template === null ? ok(null) : checkTemplate(template);
  if (!held.ok)
    throw new Refusal({
      kind: 'fields',
      fields: [{ field: 'template', detail: templateFaultInWords(held.fault) }],
    });
  const secret = template === null ? newSigningSecret() : null;
  const way: Way =
    template === null
      ? { kind: 'webhook', secret: secret ?? '' }
      : { kind: 'relay', details: template };
  await cellarStub(env, cellar).addReceiver({ ...receiver, duty }, way, now);
  await noteReceiver(env, 'receiver-added', { cellar, receiver: receiver.id, by }, now, { title });
  return { ...receiver, secret };
};

export const removeReceiver = async (env: Env, act: ReceiverAct, now: number): Promise<void> => {
  if (!(await cellarStub(env, act.cellar).removeReceiver(act.receiver)))
    throw noReceiver(act.receiver);
  await noteReceiver(env, 'receiver-removed', act, now);
};

export type ReplacedSecret = {
  /** Shown once. */
  readonly secret: string;
  /** Unix seconds until which the former secret signs as well. */
  readonly formerUntil: number;
};

export const replaceSecret = async (
  env: Env,
  act: ReceiverAct,
  now: number,
): Promise<ReplacedSecret> => {
  const secret = newSigningSecret();
  const formerUntil = await cellarStub(env, act.cellar).replaceSecret(act.receiver, secret, now);
  if (formerUntil === null) throw noReceiver(act.receiver);
  await noteReceiver(env, 'receiver-secret-replaced', act, now);
  return { secret, formerUntil };
};

export const setDuty = async (
  env: Env,
  act: ReceiverAct,
  duty: Duty,
  now: number,
): Promise<void> => {
  await requireVessels(env, act.cellar, duty);
  if (!(await cellarStub(env, act.cellar).setDuty(act.receiver, duty, now)))
    throw noReceiver(act.receiver);
  await noteReceiver(env, 'receiver-duty-set', act, now);
};

export const setHeartbeat = async (
  env: Env,
  act: ReceiverAct,
  everyMinutes: number | null,
  now: number,
): Promise<void> => {
  if (!(await cellarStub(env, act.cellar).setHeartbeat(act.receiver, everyMinutes, now)))
    throw noReceiver(act.receiver);
  await noteReceiver(env, 'receiver-heartbeat-set', act, now, { everyMinutes });
};

export const sendTest = async (env: Env, act: ReceiverAct, now: number): Promise<void> => {
  if (!(await cellarStub(env, act.cellar).sendTest(act.receiver, act.by, now)))
    throw noReceiver(act.receiver);
  await noteReceiver(env, 'receiver-tested', act, now);
};

export const listDeadLetters = async (
  env: Env,
  cellar: string,
  receiver: string,
): Promise<readonly DeadLetter[]> => {
  const letters = await cellarStub(env, cellar).deadLetters(receiver);
  if (letters === null) throw noReceiver(receiver);
  return letters;
};

/** Says how many are on their way again. */
export const sendAgain = async (
  env: Env,
  act: ReceiverAct,
  which: number | 'all',
  now: number,
): Promise<number> => {
  const letters = await listDeadLetters(env, act.cellar, act.receiver);
  if (which !== 'all' && !letters.some(({ id }) => id === which))
    throw new Refusal({ kind: 'not-found', what: 'dead letter', name: String(which) });
  const count = await cellarStub(env, act.cellar).sendAgain(act.receiver, which, now);
  await noteReceiver(env, 'dead-letters-sent-again', act, now, { count });
  return count;
};
