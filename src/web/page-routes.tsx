import { Hono, type Context } from 'hono';
import type { ProblemDetails } from '../wire/problem-details.ts';
import type { HttpContext } from './http-context.ts';
import { problemResponse } from './problem.ts';
export const pages = new Hono<HttpContext>();
export const pageProblem = (_context: Context<HttpContext>, details: ProblemDetails): Response => problemResponse(details);
