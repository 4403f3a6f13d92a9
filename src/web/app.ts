/** The routes, assembled; every fault and every surprise is answered here and nowhere else. */
import { type Context, Hono } from 'hono';
import { HTTPException } from 'hono/http-exception';
import { secureHeaders } from 'hono/secure-headers';
import { log } from '../storage/log.ts';
import { alarms } from './alarms.ts';
import { archives } from './archive/routes.ts';
import { assetResponse } from './assets.ts';
import { batches } from './batches.ts';
import { calculationRoutes } from './calculations/routes.ts';
import { cellars } from './cellars.ts';
import { type Fault, Refusal } from './fault.ts';
import { health } from './health.ts';
import { history } from './history.ts';
import type { HttpContext } from './http-context.ts';
import { interfaceRoutes } from './interface/routes.ts';
import { journalRoutes } from './journal-routes.ts';
import { keys } from './keys.ts';
import { metrics } from './metrics.ts';
import { pageProblem, pages } from './page-routes.tsx';
import { hintsOf, problemResponse, toProblem } from './problem.ts';
import { readings } from './readings.ts';
import { receivers } from './receivers.ts';
import { retention } from './retention.ts';
import { samples } from './samples.ts';
import { vessels } from './vessels.ts';

/** Errors that the platform marks as passing: the sender may try again. */
const isPassing = (error: unknown): boolean =>
  typeof error === 'object' &&
  error !== null &&
  (('retryable' in error && error.retryable === true) ||
    ('overloaded' in error && error.overloaded === true));

/**
 * SQLite names its errors in their text, and nothing else tells them apart here: no room on the disk, or
 * a disk that cannot be written. Nothing of the transaction was kept in either case.
 */
const storageFaultOf = (message: string): Fault | null =>
  /\bSQLITE_FULL\b/.test(message)
    ? { kind: 'storage-full', retryAfterSeconds: 60 }
    : /\bSQLITE_(?:IOERR|READONLY|CANTOPEN)/.test(message)
      ? { kind: 'storage-unavailable', retryAfterSeconds: 10 }
      : null;

/** What an error means to the outside; what nobody foresaw is logged, and so is a disk in trouble. */
const faultOf = (error: Error, { method, path }: { method: string; path: string }): Fault => {
  if (error instanceof Refusal) return error.fault;
  if (isPassing(error)) return { kind: 'storage-unavailable', retryAfterSeconds: 2 };
  if (error instanceof HTTPException && error.status < 500)
    return { kind: 'refused-by-guard', status: error.status };
  const storageFault = storageFaultOf(error.message);
  if (storageFault !== null) {
    log('storage-fault', { method, path, fault: storageFault.kind, reason: error.message });
    return storageFault;
  }
  log('unexpected-error', { method, path, reason: error.stack ?? error.message });
  return { kind: 'unexpected' };
};

/** Programs get problem+json; a person gets the same words as a page. */
const answerProblem = (
  context: Context<HttpContext>,
  fault: Fault,
): Response | Promise<Response> => {
  const details = toProblem(fault);
  const { path } = context.req;
  const forPrograms = path.startsWith('/v1/') || ['/healthz', '/metrics'].includes(path);
  return forPrograms ? problemResponse(details, hintsOf(fault)) : pageProblem(context, details);
};

export const app = new Hono<HttpContext>()
  .use(
    secureHeaders({
      contentSecurityPolicy: {
        defaultSrc: ["'none'"],
        scriptSrc: ["'self'"],
        styleSrc: ["'self'"],
        imgSrc: ["'self'", 'data:'],
        fontSrc: ["'self'"],
        connectSrc: ["'self'"],
        manifestSrc: ["'self'"],
        formAction: ["'self'"],
        baseUri: ["'none'"],
        frameAncestors: ["'none'"],
      },
      referrerPolicy: 'same-origin',
      xFrameOptions: 'DENY',
      permissionsPolicy: { camera: [], microphone: [], geolocation: [] },
    }),
  )
  .use('/v1/cellars/*', async (context, next) => {
    await next();
    if (!context.res.headers.has('cache-control')) context.header('cache-control', 'no-store');
  })
  .route('/healthz', health)
  .route('/metrics', metrics)
  .get('/assets/:name', (context) => {
    const { name } = context.req.param();
    const answer = assetResponse(name, context.req.header('if-none-match') ?? null);
    if (answer === null) throw new Refusal({ kind: 'path-unknown', path: context.req.path });
    return answer;
  })
  .route('/v1/openapi.json', interfaceRoutes)
  .route('/v1/calculations', calculationRoutes)
  .route('/v1/cellars', cellars)
  .route('/v1/cellars', vessels)
  .route('/v1/cellars', batches)
  .route('/v1/cellars', readings)
  .route('/v1/cellars', history)
  .route('/v1/cellars', retention)
  .route('/v1/cellars', archives)
  .route('/v1/cellars', journalRoutes)
  .route('/v1/cellars', samples)
  .route('/v1/cellars', alarms)
  .route('/v1/cellars', receivers)
  .route('/v1/cellars', keys)
  .all('/v1/*', (context) => {
    throw new Refusal({ kind: 'path-unknown', path: context.req.path });
  })
  .route('/', pages)
  .notFound((context) => answerProblem(context, { kind: 'path-unknown', path: context.req.path }))
  .onError((error, context) => answerProblem(context, faultOf(error, context.req)));
