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

type Case = readonly [name: string, status: number, path: () => string, init?: () => RequestInit];

const signedIn = (): RequestInit => ({ headers: { cookie } });
const bearer = (extra: Readonly<Record<string, string>> = {}): Record<string, string> => ({
  authorization: `Bearer ${keeper.key}`,
  ...extra,
});
const own = (path: string) => (): string => `/v1/cellars/${keeper.cellar}${path}`;

const cases: readonly Case[] = [
  ['a page', 200, () => `/cellars/${keeper.cellar}`, signedIn],
  ['the door', 200, () => '/sign-in'],
  ['a redirection', 303, () => `/cellars/${keeper.cellar}`],
  ['a page that is none', 404, () => `/cellars/${keeper.cellar}/nothing`, signedIn],
  ['an asset that is none', 404, () => '/assets/nothing.js'],
  ['a form from elsewhere', 403, () => '/sign-out', () => ({ method: 'POST' })],
  ['the interface document', 200, () => '/v1/openapi.json'],
  ['health', 200, () => '/healthz'],
  ['an answer', 200, own('/vessels'), () => ({ headers: bearer() })],
  ['no key', 401, own('/vessels')],
  ['no such path', 404, () => '/v1/nothing'],
  ['no such method', 404, own('/vessels'), () => ({ method: 'PATCH', headers: bearer() })],
  ['a head', 200, own('/vessels'), () => ({ method: 'HEAD', headers: bearer() })],
  ['a preflight', 404, own('/vessels'), () => ({ method: 'OPTIONS' })],
  [
    'a media type',
    415,
    own('/vessels'),
    () => ({ method: 'POST', headers: bearer({ 'content-type': 'text/plain' }), body: 'x' }),
  ],
  [
    'a refused field',
    422,
    own('/vessels'),
    () => ({ method: 'POST', headers: bearer({ 'content-type': 'application/json' }), body: '{}' }),
  ],
];

test.each(cases)('%s (%i) carries them all', async (_, status, path, init) => {
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
