/**
 * The headers that guard a browser, on every answer: pages, documents, refusals, redirections, assets and what does
 * not exist. The set after the OWASP HTTP Headers Cheat Sheet.
 */
import { beforeAll, expect, test } from 'vitest';
import { type Asking, ask, beginning, cellarWithAle, setClock } from './cellar-fixture.ts';
import { browserOf } from './page-browser.ts';

let keeper: Asking;
let cookie = '';

beforeAll(async () => {
  await setClock(beginning);
  keeper = await cellarWithAle();
  cookie = (await browserOf(keeper.key)).cookie;
});

const policy = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self'",
  "img-src 'self' data:",
  "font-src 'self'",
  "connect-src 'self'",
  "manifest-src 'self'",
  "form-action 'self'",
  "base-uri 'none'",
  "frame-ancestors 'none'",
].join('; ');

const guards = {
  'content-security-policy': policy,
  'x-content-type-options': 'nosniff',
  'x-frame-options': 'DENY',
  'referrer-policy': 'same-origin',
  'permissions-policy': 'camera=(), microphone=(), geolocation=()',
  'strict-transport-security': 'max-age=15552000; includeSubDomains',
  'cross-origin-opener-policy': 'same-origin',
  'cross-origin-resource-policy': 'same-origin',
} as const;

type Case = {
  readonly path: () => string;
  readonly init?: () => RequestInit;
};

const signedIn = (): RequestInit => ({ headers: { cookie } });
const bearer = (extra: Readonly<Record<string, string>> = {}): Record<string, string> => ({
  authorization: `Bearer ${keeper.key}`,
  ...extra,
});
const own = (path: string) => (): string => `/v1/cellars/${keeper.cellar}${path}`;

const cases: readonly (readonly [name: string, status: number, asked: Case])[] = [
  ['a page', 200, { path: () => `/cellars/${keeper.cellar}`, init: signedIn }],
  ['the door', 200, { path: () => '/sign-in' }],
  ['a redirection', 303, { path: () => `/cellars/${keeper.cellar}` }],
  ['a page that is none', 404, { path: () => `/cellars/${keeper.cellar}/nothing`, init: signedIn }],
  ['an asset that is none', 404, { path: () => '/assets/nothing.js' }],
  ['a form from elsewhere', 403, { path: () => '/sign-out', init: () => ({ method: 'POST' }) }],
  ['the interface document', 200, { path: () => '/v1/openapi.json' }],
  ['health', 200, { path: () => '/healthz' }],
  ['an answer', 200, { path: own('/vessels'), init: () => ({ headers: bearer() }) }],
  ['no key', 401, { path: own('/vessels') }],
  ['no such path', 404, { path: () => '/v1/nothing' }],
  [
    'no such method',
    404,
    { path: own('/vessels'), init: () => ({ method: 'PATCH', headers: bearer() }) },
  ],
  ['a head', 200, { path: own('/vessels'), init: () => ({ method: 'HEAD', headers: bearer() }) }],
  ['a preflight', 401, { path: own('/vessels'), init: () => ({ method: 'OPTIONS' }) }],
  [
    'a media type',
    415,
    {
      path: own('/vessels'),
      init: () => ({
        method: 'POST',
        headers: bearer({ 'content-type': 'text/plain' }),
        body: 'x',
      }),
    },
  ],
  [
    'a refused field',
    422,
    {
      path: own('/vessels'),
      init: () => ({
        method: 'POST',
        headers: bearer({ 'content-type': 'application/json' }),
        body: '{}',
      }),
    },
  ],
];

test.each(cases)('%s (%i) carries them all', async (_, status, { path, init }) => {
  const answer = await ask(path(), init?.() ?? {});
  expect(answer.status).toBe(status);
  for (const [name, value] of Object.entries(guards))
    expect({ name, value: answer.headers.get(name) }).toEqual({ name, value });
  expect(answer.headers.get('x-powered-by')).toBeNull();
  expect(answer.headers.get('access-control-allow-origin')).toBeNull();
});

test('an answer of a cellar is kept by no cache that others share', async () => {
  for (const [path, init] of [
    [`/cellars/${keeper.cellar}`, signedIn()],
    [`/v1/cellars/${keeper.cellar}/vessels`, { headers: bearer() }],
    [`/v1/cellars/${keeper.cellar}/keys`, { headers: bearer() }],
  ] as const) {
    const answer = await ask(path, init);
    expect(answer.headers.get('cache-control') ?? '', path).toMatch(/private|no-store/);
  }
});
