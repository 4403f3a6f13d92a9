/** Whether the worker answers at all, for whoever watches the watch. */
import { Hono } from 'hono';
import { cellarNow } from '../storage/clock.ts';
import type { HttpContext } from './http-context.ts';

export const health = new Hono<HttpContext>().get('/', async (context) =>
  context.json({ status: 'ok', timeSeconds: await cellarNow(context.env) }, 200, {
    'cache-control': 'no-store',
  }),
);
