/**
 * Middleware that lets a bearer key in. A wrong key, a key of another cellar and an unknown cellar
 * get the same answer, so that nobody learns which cellars exist.
 */
import type { MiddlewareHandler } from 'hono';
import type { Role } from '../storage/access.ts';
import type { Admission } from '../storage/cellar-object.ts';
import { cellarNow } from '../storage/clock.ts';
import { cellarStub, type Env } from '../storage/env.ts';
import { cellarOfKey } from './cellar-key.ts';
import { Refusal } from './fault.ts';
import type { HttpContext } from './http-context.ts';
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

export const admitKey = async (
  env: Env,
  cellar: string,
  key: string,
): Promise<Admission | null> => {
  if (cellarOfKey(key) !== cellar) return null;
  const hash = await hashOf(key);
  const known = remembered.get(hash);
  if (known !== undefined && known.until > Date.now()) return known.admission;
  return askCellar(env, cellar, hash);
};

const askCellar = async (env: Env, cellar: string, hash: string): Promise<Admission | null> => {
  const admission = await cellarStub(env, cellar).admitKey(hash);
  if (admission === null) {
    remembered.delete(hash);
    return null;
  }
  if (remembered.size >= rememberedAdmissions) remembered.clear();
  remembered.set(hash, { admission, until: Date.now() + trustedMilliseconds });
  return admission;
};

const bearer = (header: string | undefined): string | null =>
  /^Bearer +(\S+)$/i.exec(header ?? '')?.[1] ?? null;

/** Lets in whoever holds a working key of the cellar named in the path. */
export const admission: MiddlewareHandler<HttpContext, '/:cellar/*'> = async (context, next) => {
  const key = bearer(context.req.header('authorization'));
  if (key === null) throw new Refusal({ kind: 'key-missing' });
  const admitted = await admitKey(context.env, context.req.param('cellar'), key);
  if (admitted === null) throw new Refusal({ kind: 'key-refused' });
  context.set('admission', admitted);
  context.set('renew', async () => {
    const renewed = await askCellar(context.env, context.req.param('cellar'), await hashOf(key));
    if (renewed === null) throw new Refusal({ kind: 'key-refused' });
    return renewed;
  });
  context.set('now', await cellarNow(context.env));
  await next();
};

/** Passes only the roles named. */
export const only =
  (...needed: readonly Role[]): MiddlewareHandler<HttpContext> =>
  async (context, next) => {
    const { role } = context.get('admission').grant;
    if (!needed.includes(role)) throw new Refusal({ kind: 'role-too-low', role, needed });
    await next();
  };
