/**
 * Whether Gyleward works, for whoever watches the watch: 200 where storage takes a write and wake-ups come on
 * time, else 503 with which of them does not. Open to all, so it names no cellar and no version, and asks
 * the object behind it at most every few seconds.
 */
import { Hono } from 'hono';
import { cellarNow } from '../storage/clock.ts';
import { type Env, healthProbe } from '../storage/env.ts';
import type { Health } from '../storage/health-probe.ts';
import type { HttpContext } from './http-context.ts';

/** Chosen by us: what anybody may ask for must not cost a write each time. */
const rememberedMilliseconds = 5000;

let remembered: { readonly health: Health; readonly until: number } | null = null;

const present = async (env: Env): Promise<Health> => {
  if (remembered !== null && remembered.until > Date.now()) return remembered.health;
  let health: Health;
  try {
    health = await healthProbe(env).probe(Date.now());
  } catch {
    health = { storage: 'failing', wakeUps: 'ok' };
  }
  remembered = { health, until: Date.now() + rememberedMilliseconds };
  return health;
};

export const health = new Hono<HttpContext>().get('/', async (context) => {
  const found = await present(context.env);
  const works = found.storage === 'ok' && found.wakeUps === 'ok';
  return context.json(
    { status: works ? 'ok' : 'failing', ...found, timeSeconds: await cellarNow(context.env) },
    works ? 200 : 503,
    { 'cache-control': 'no-store' },
  );
});
