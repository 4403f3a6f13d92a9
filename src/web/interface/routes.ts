/**
 * The interface document over HTTP. No key is asked for: it says what the source says, and nothing of any cellar.
 */
import { Hono } from 'hono';
import type { HttpContext } from '../http-context.ts';
import { interfaceDocument } from './document.ts';

/** It changes with a release only. Five minutes, chosen by us: a longer time hides a release longer. */
const kept = { 'cache-control': 'public, max-age=300' };

export const interfaceRoutes = new Hono<HttpContext>().get('/', (context) =>
  context.json(interfaceDocument(), 200, kept),
);
