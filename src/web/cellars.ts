/** Founding a cellar: guarded by the operator's secret, not by a key, since there is none yet. */
import { Hono, type MiddlewareHandler } from 'hono';
import { cellarNow } from '../storage/clock.ts';
import { cellarStub, operatorDoor } from '../storage/env.ts';
import { refusalOf } from './admission.ts';
import { callerAddress } from './caller-address.ts';
import { newKey } from './cellar-key.ts';
import { cellarBody, keeperKeyBody } from './contract.ts';
import { Refusal } from './fault.ts';
import type { HttpContext } from './http-context.ts';
import { described, journal, noteAct } from './journal.ts';
import { parseBody } from './parse.ts';
import { sameSecret } from './secret.ts';

/** Shorter secrets can be guessed: below it the operator's routes are closed. */
const shortestOperatorSecret = 32;

const operator: MiddlewareHandler<HttpContext> = async (context, next) => {
  const sent = /^Bearer +(\S+)$/i.exec(context.req.header('authorization') ?? '')?.[1];
  const secret = context.env.OPERATOR_SECRET ?? '';
  if (sent === undefined) throw new Refusal({ kind: 'key-missing' });
  const now = await cellarNow(context.env);
  if (secret.length < shortestOperatorSecret || !(await sameSecret(sent, secret))) {
    const address = callerAddress(context.req.raw.headers);
    throw new Refusal(refusalOf(await operatorDoor(context.env).refuseTry(address, now)));
  }
  context.set('now', now);
  await journal(context, next);
};

export const cellars = new Hono<HttpContext>()
  .post('/', operator, async (context) => {
    const { cellar, title } = await parseBody(cellarBody, context.req.raw);
    const { id, key, hash } = await newKey(cellar);
    const founded = await cellarStub(context.env, cellar).found(
      { cellar, title, foundedAt: context.get('now') },
      { keyId: id, title: 'First keeper', role: 'keeper', vessels: null, expiresAt: null },
      hash,
    );
    if (!founded)
      throw new Refusal({
        kind: 'name-taken',
        what: 'cellar',
        name: cellar,
        advice: 'choose another name, or ask for another keeper key of this one',
      });
    return context.json({ cellar, title, keyId: id, key }, 201);
  })
  .post('/:cellar/keeper-keys', operator, async (context) => {
    const cellar = context.req.param('cellar');
    const { title } = await parseBody(keeperKeyBody, context.req.raw);
    const { id, key, hash } = await newKey(cellar);
    const added = await cellarStub(context.env, cellar).addKey(
      { keyId: id, title, role: 'keeper', vessels: null, expiresAt: null },
      hash,
      context.get('now'),
    );
    if (!added) throw new Refusal({ kind: 'not-found', what: 'cellar', name: cellar });
    noteAct(context, { about: id, facts: described({ title, role: 'keeper' }) });
    return context.json({ cellar, keyId: id, key }, 201);
  });
