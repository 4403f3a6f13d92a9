import { fileURLToPath } from 'node:url';
import { cloudflareTest } from '@cloudflare/vitest-pool-workers';
import { defineConfig } from 'vitest/config';

const root = fileURLToPath(new URL('..', import.meta.url));

/** Cellar time of the tests: PUT sets it, GET tells it, in Unix seconds. */
let clockSeconds = 1_900_000_000;
const drivenClock = async (request: Request): Promise<Response> => {
  if (request.method === 'PUT') clockSeconds = Number(await request.text());
  return new Response(String(clockSeconds));
};

type Received = {
  readonly headers: Record<string, string>;
  readonly body: string;
  /** The same as base64, for bodies that are no text. */
  readonly base64: string;
};

/**
 * Stands in for every receiver. PUT /NAME sets the statuses that it answers in turn (then 204);
 * POST /NAME is a delivery; GET /NAME tells what arrived there.
 */
const scripts = new Map<string, number[]>();
const received = new Map<string, Received[]>();
const receivers = async (request: Request): Promise<Response> => {
  const { pathname } = new URL(request.url);
  const arrived = received.get(pathname) ?? [];
  received.set(pathname, arrived);
  if (request.method === 'GET') return Response.json(arrived);
  if (request.method === 'PUT') {
    scripts.set(pathname, (await request.json()) as number[]);
    return new Response(null, { status: 204 });
  }
  const bytes = Buffer.from(await request.arrayBuffer());
  arrived.push({
    headers: Object.fromEntries(request.headers),
    body: bytes.toString('utf8'),
    base64: bytes.toString('base64'),
  });
  return new Response(null, { status: scripts.get(pathname)?.shift() ?? 204 });
};

/** No test is about time: a slow machine may take as long as it needs, a hanging one ends. */
const patience = { testTimeout: 180_000, hookTimeout: 180_000 } as const;

const seeded = fileURLToPath(new URL('property-seed.ts', import.meta.url));

export default defineConfig({
  root,
  test: {
    projects: [
      {
        root,
        test: {
          name: 'node',
          ...patience,
          include: ['tests/{science,monitoring,wire,host,house}/**/*.test.ts'],
          setupFiles: [seeded],
          environment: 'node',
          maxWorkers: 2,
        },
      },
      {
        root,
        plugins: [
          cloudflareTest({
            wrangler: { configPath: './wrangler.toml' },
            miniflare: {
              cf: false,
              bindings: {
                OPERATOR_SECRET: 'operator-secret-of-the-tests-0123456789',
                COOKIE_SECRET: 'cookie-secret-of-the-tests-0123456789ab',
                ALLOW_PRIVATE_RECEIVERS: 'yes',
                FUZZ_REQUESTS: process.env.FUZZ_REQUESTS ?? '2000',
                FUZZ_SEED: process.env.FUZZ_SEED ?? '20261125',
                PUBLIC_URL: 'https://cellar.example/',
              },
              serviceBindings: { CLOCK: drivenClock },
              outboundService: receivers,
            },
          }),
        ],
        test: {
          name: 'worker',
          ...patience,
          include: ['tests/{storage,web}/**/*.test.ts'],
          setupFiles: [seeded, 'tests/web/load-worker.ts'],
          // One clock serves all files, so they take turns.
          fileParallelism: false,
        },
      },
      {
        root,
        test: {
          name: 'browser',
          ...patience,
          include: ['tests/browser/**/*.test.ts'],
          environment: 'node',
          fileParallelism: false,
        },
      },
    ],
  },
});
