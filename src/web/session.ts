/**
 * The page's session: a random token in a signed `__Host-` cookie, its hash in the cellar's rows.
 * The cookie is `Secure`: it works over HTTPS, and over plain HTTP on the machine itself only.
 */
import type { Context } from 'hono';
import { deleteCookie, getSignedCookie, setSignedCookie } from 'hono/cookie';
import type { Grant } from '../storage/access.ts';
import type { Admission } from '../storage/cellar-object.ts';
import { cellarStub } from '../storage/env.ts';
import type { HttpContext } from './http-context.ts';
import { hashOf, newSecret } from './secret.ts';

const cookieName = 'cellar-session';

/** Four weeks: chosen by us, so that a phone in the cellar stays signed in over a batch. */
const sessionSeconds = 28 * 86_400;

export const openSession = async (
  context: Context<HttpContext>,
  cellar: string,
  { keyId, expiresAt }: Grant,
  now: number,
): Promise<void> => {
  const token = newSecret();
  const seconds = Math.min(sessionSeconds, (expiresAt ?? Number.POSITIVE_INFINITY) - now);
  await cellarStub(context.env, cellar).openSession(
    { hash: await hashOf(token), keyId, expiresAt: now + seconds },
    now,
  );
  await setSignedCookie(context, cookieName, `${cellar}.${token}`, context.env.COOKIE_SECRET, {
    prefix: 'host',
    secure: true,
    httpOnly: true,
    sameSite: 'Strict',
    path: '/',
    maxAge: Math.ceil(seconds),
  });
};

export type Session = { readonly cellar: string; readonly admission: Admission };

type Token = { readonly cellar: string; readonly hash: string };

const readToken = async (context: Context<HttpContext>): Promise<Token | null> => {
  const value = await getSignedCookie(context, context.env.COOKIE_SECRET, cookieName, 'host');
  const [cellar, token] = typeof value === 'string' ? value.split('.') : [];
  if (cellar === undefined || token === undefined) return null;
  return { cellar, hash: await hashOf(token) };
};

export const readSession = async (
  context: Context<HttpContext>,
  now: number,
): Promise<Session | null> => {
  const token = await readToken(context);
  if (token === null) return null;
  const admission = await cellarStub(context.env, token.cellar).admitSession(token.hash, now);
  return admission === null ? null : { cellar: token.cellar, admission };
};

export const closeSession = async (context: Context<HttpContext>): Promise<void> => {
  const token = await readToken(context);
  if (token !== null) await cellarStub(context.env, token.cellar).closeSession(token.hash);
  deleteCookie(context, cookieName, { prefix: 'host', secure: true, path: '/' });
};
