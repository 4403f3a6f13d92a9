/**
 * Middleware of the signed-in pages: whoever has no working session is sent to sign in, and the
 * address of another cellar answers as if there were none.
 */
import type { Context, MiddlewareHandler } from 'hono';
import type { Role } from '../storage/access.ts';
import { cellarNow } from '../storage/clock.ts';
import { cellarStub } from '../storage/env.ts';
import { Refusal } from './fault.ts';
import type { HttpContext } from './http-context.ts';
import { journal } from './journal.ts';
import type { Visit } from './pages/layout.tsx';
import { readSession } from './session.ts';

export const pageVisit: MiddlewareHandler<HttpContext, '/cellars/:cellar/*'> = async (
  context,
  next,
) => {
  const now = await cellarNow(context.env);
  const session = await readSession(context, now);
  if (session === null) return context.redirect('/sign-in', 303);
  const name = context.req.param('cellar');
  const described = session.cellar === name ? await cellarStub(context.env, name).describe() : null;
  if (described === null) throw new Refusal({ kind: 'path-unknown', path: context.req.path });
  context.set('now', now);
  context.set('admission', session.admission);
  context.set('visit', {
    cellar: { cellar: described.cellar, title: described.title },
    role: session.admission.grant.role,
  });
  await journal(context, next);
};

/** Who is looking, on a page that is open to all; null where nobody is signed in. */
export const visitIfSignedIn = async (context: Context<HttpContext>): Promise<Visit | null> => {
  const session = await readSession(context, await cellarNow(context.env));
  if (session === null) return null;
  const described = await cellarStub(context.env, session.cellar).describe();
  return described === null
    ? null
    : {
        cellar: { cellar: described.cellar, title: described.title },
        role: session.admission.grant.role,
      };
};

/** Refuses a person whose role is not among those named. */
export const requireRole = (context: Context<HttpContext>, ...needed: readonly Role[]): void => {
  const { role }: Visit = context.get('visit');
  if (!needed.includes(role)) throw new Refusal({ kind: 'role-too-low', role, needed });
};
