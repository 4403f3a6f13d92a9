/** The routes, assembled; every fault and every surprise is answered here and nowhere else. */
import { Hono } from 'hono';
import { HTTPException } from 'hono/http-exception';
import { secureHeaders } from 'hono/secure-headers';
import { log } from '../storage/log.ts';
import { alarms } from './alarms.ts';
import { assets } from './assets.ts';
import { batches } from './batches.ts';
import { cellars } from './cellars.ts';
import { Refusal } from './fault.ts';
import { health } from './health.ts';
import type { HttpContext } from './http-context.ts';
import { keys } from './keys.ts';
import { pageProblem, pages } from './page-routes.tsx';
import { problemResponse, toProblem } from './problem.ts';
import { readings } from './readings.ts';
import { receivers } from './receivers.ts';
import { vessels } from './vessels.ts';

/** Errors that the platform marks as passing: the sender may try again. */
const isPassing = (error: unknown): boolean =>
  typeof error === 'object' &&
  error !== null &&
  (('retryable' in error && error.retryable === true) ||
    ('overloaded' in error && error.overloaded === true));

const wantsPage = (path: string): boolean => !path.startsWith('/v1/') && path !== '/healthz';

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
      referrerPolicy: 'no-referrer',
      xFrameOptions: 'DENY',
      permissionsPolicy: { camera: [], microphone: [], geolocation: [] },
    }),
  )
  .route('/healthz', health)
  .route('/assets', assets)
  .route('/v1/cellars', cellars)
  .route('/v1/cellars', vessels)
  .route('/v1/cellars', batches)
  .route('/v1/cellars', readings)
  .route('/v1/cellars', alarms)
  .route('/v1/cellars', receivers)
  .route('/v1/cellars', keys)
  .route('/', pages)
  .notFound((context) => {
    const details = toProblem({ kind: 'path-unknown', path: context.req.path });
    return wantsPage(context.req.path) ? pageProblem(context, details) : problemResponse(details);
  })
  .onError((error, context) => {
    if (error instanceof HTTPException && !(error instanceof Refusal)) {
      const details = {
        type: 'about:blank',
        title: 'Refused',
        status: error.status,
        detail: error.message || 'the request was refused',
      };
      return wantsPage(context.req.path) ? pageProblem(context, details) : problemResponse(details);
    }
    if (error instanceof Refusal || isPassing(error)) {
      const details = toProblem(
        error instanceof Refusal
          ? error.fault
          : { kind: 'storage-unavailable', retryAfterSeconds: 2 },
      );
      return wantsPage(context.req.path) ? pageProblem(context, details) : problemResponse(details);
    }
    log('unexpected-error', {
      method: context.req.method,
      path: context.req.path,
      reason: error.stack ?? error.message,
    });
    const details = {
      type: 'about:blank',
      title: 'Unexpected error',
      status: 500,
      detail: 'something went wrong on our side; the log of the worker says what',
    };
    return wantsPage(context.req.path) ? pageProblem(context, details) : problemResponse(details);
  });
