import { Hono } from 'hono';
import type { HttpContext } from './http-context.ts';
export const assets = new Hono<HttpContext>();
export const assetPath: Record<string, string> = {};
