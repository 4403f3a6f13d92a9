/**
 * Middleware that lets a bearer key in. A wrong key, a key of another cellar and an unknown cellar
 * get the same answer, so that nobody learns which cellars exist.
 */
import type { MiddlewareHandler } from 'hono';
import type { Role } from '../storage/access.ts';
import type { Admission, RefusedTry, Tried } from '../storage/cellar-object.ts';
import { cellarNow } from '../storage/clock.ts';
import { cellarStub, type Env } from '../storage/env.ts';
import { callerAddress } from './caller-address.ts';
import { cellarOfKey } from './cellar-key.ts';
import { type Fault, Refusal } from './fault.ts';
import type { HttpContext } from './http-context.ts';
import { journal } from './journal.ts';
import { hashOf } from './secret.ts';

/**
 * How long an isolate trusts an admission without asking the cellar again: a revoked key works for
 * at most this long. Chosen by us; longer saves calls, shorter revokes sooner.
 */
const trustedMilliseconds = 1000;
/** Admissions remembered per isolate; past it the memory is emptied, which only costs calls. */
const rememberedAdmissions = 10_000;

const remembered = new Map<string, { readonly admission: Admission; readonly until: number }>();

export const forgetAdmissions = (): void => remembered.clear();

/** Lets a key in where it opens this cellar; else the failed try is counted there, and never a word of why. */
export const admitKey = async (
  env: Env,
  cellar: string,
  key: string,
  { address, now }: { readonly address: string; readonly now: number },
): Promise<Tried> => {
  if (cellarOfKey(key) !== cellar) return cellarStub(env, cellar).refuseTry(address, now);
  const hash = await hashOf(key);
  const known = remembered.get(hash);
  if (known !== undefined && known.until > Date.now() && works(known.admission, now))
    return { kind: 'admitted', admission: known.admission };
  return askCellar(env, cellar, hash, address, now);
};

const works = ({ grant: { expiresAt } }: Admission, now: number): boolean =>
  expiresAt === null || expiresAt > now;

const askCellar = async (
  env: Env,
  cellar: string,
  hash: string,
  address: string,
  now: number,
): Promise<Tried> => {
  const tried = await cellarStub(env, cellar).admitKey(hash, address, now);
  if (tried.kind === 'refused') {
    remembered.delete(hash);
    return tried;
  }
  if (remembered.size >= rememberedAdmissions) remembered.clear();
  remembered.set(hash, {
    admission: tried.admission,
    until: Date.now() + trustedMilliseconds,
  });
  return tried;
};

/** The admission, or the refusal that the outside sees. */
export const demandAdmission = (tried: Tried): Admission => {
  if (tried.kind === 'admitted') return tried.admission;
  throw new Refusal(refusalOf(tried));
};

export const refusalOf = ({ retryAfterSeconds }: RefusedTry): Fault =>
  retryAfterSeconds === null
    ? { kind: 'key-refused' }
    : { kind: 'too-many-tries', retryAfterSeconds };

export const bearer = (header: string | undefined): string | null =>
  /^Bearer +(\S+)$/i.exec(header ?? '')?.[1] ?? null;

/** Lets in whoever holds a working key of the cellar named in the path. */
export const admission: MiddlewareHandler<HttpContext, '/:cellar/*'> = async (context, next) => {
  const key = bearer(context.req.header('authorization'));
  if (key === null) throw new Refusal({ kind: 'key-missing' });
  const cellar = context.req.param('cellar');
  const address = callerAddress(context.req.raw.headers);
  const now = await cellarNow(context.env);
  const tried = await admitKey(context.env, cellar, key, { address, now });
  context.set('admission', demandAdmission(tried));
  context.set('renew', async () => {
    const later = await cellarNow(context.env);
    return demandAdmission(await askCellar(context.env, cellar, await hashOf(key), address, later));
  });
  context.set('now', now);
  await journal(context, next);
};

/** Passes only the roles named. */
export const only =
  (...needed: readonly Role[]): MiddlewareHandler<HttpContext> =>
  async (context, next) => {
    const { role } = context.get('admission').grant;
    if (!needed.includes(role)) throw new Refusal({ kind: 'role-too-low', role, needed });
    await next();
  };
