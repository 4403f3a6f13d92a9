/** A cellar of its own for each test: founded over HTTP, with its keeper's key at hand. */
import { env, exports } from 'cloudflare:workers';
import type { Env } from '../../src/storage/env.ts';

export const testEnv = env as unknown as Env;

const origin = 'http://cellar.test';

/** 2030-03-17T17:46:40Z, the moment at which the tests begin. */
export const beginning = 1_900_000_000;

export const setClock = async (seconds: number): Promise<void> => {
  await testEnv.CLOCK?.fetch('http://clock/', { method: 'PUT', body: String(seconds) });
};

export const ask = (path: string, init: RequestInit = {}): Promise<Response> =>
  (exports as unknown as { default: Fetcher }).default.fetch(`${origin}${path}`, {
    redirect: 'manual',
    ...init,
  });

export type Asking = {
  readonly cellar: string;
  readonly key: string;
  get(path: string): Promise<Response>;
  post(path: string, body: unknown): Promise<Response>;
  /** Sends a SenML pack, an object or text as it stands. */
  send(pack: unknown): Promise<Response>;
  /** Sends a body of any media type, by POST unless told otherwise. */
  sendAs(path: string, type: string, body: BodyInit | null, init?: RequestInit): Promise<Response>;
  withKey(key: string): Asking;
};

const asking = (cellar: string, key: string): Asking => {
  const root = `/v1/cellars/${cellar}`;
  const authorization = `Bearer ${key}`;
  return {
    cellar,
    key,
    get: (path) => ask(root + path, { headers: { authorization } }),
    post: (path, body) =>
      ask(root + path, {
        method: 'POST',
        headers: { authorization, 'content-type': 'application/json' },
        body: JSON.stringify(body),
      }),
    send: (pack) =>
      ask(`${root}/readings`, {
        method: 'POST',
        headers: { authorization, 'content-type': 'application/senml+json' },
        body: typeof pack === 'string' ? pack : JSON.stringify(pack),
      }),
    sendAs: (path, type, body, init = {}) =>
      ask(root + path, {
        method: 'POST',
        ...init,
        headers: { authorization, 'content-type': type, ...init.headers },
        body,
      }),
    withKey: (other) => asking(cellar, other),
  };
};

let founded = 0;

export const foundCellar = async (): Promise<Asking> => {
  founded += 1;
  const cellar = `skerrow-${crypto.randomUUID().slice(0, 8)}-${founded}`;
  const answer = await ask('/v1/cellars', {
    method: 'POST',
    headers: {
      authorization: `Bearer ${testEnv.OPERATOR_SECRET}`,
      'content-type': 'application/json',
    },
    body: JSON.stringify({ cellar, title: 'Skerrow Yard' }),
  });
  const { key } = await answer.json<{ key: string }>();
  return asking(cellar, key);
};

export const fermenter = {
  vessel: 'fermenter-1',
  title: 'Long Meg',
  kind: 'fermenter',
  volumeLitre: 1200,
  headspaceLitre: 200,
  ratedGaugePressurePascal: 100_000,
  reliefGaugePressurePascal: 90_000,
  gasConnected: false,
  temperatureBand: null,
} as const;

const haymaker = {
  vessel: 'fermenter-1',
  batch: 'haymaker-12',
  title: 'Haymaker ale',
  drink: 'ale',
  originalGravity: 1.052,
  expectedTerminalGravity: 1.011,
  temperatureBand: { lowCelsius: 17, highCelsius: 22 },
} as const;

/** A cellar with one fermenter and an ale in it. */
export const cellarWithAle = async (): Promise<Asking> => {
  const cellar = await foundCellar();
  const made = await cellar.post('/vessels', fermenter);
  if (made.status !== 201) throw new Error(await made.text());
  const started = await cellar.post('/batches', haymaker);
  if (started.status !== 201) throw new Error(await started.text());
  return cellar;
};

export type ProblemBody = {
  readonly type: string;
  readonly title: string;
  readonly status: number;
  readonly detail: string;
  readonly record?: number;
};

export const problemOf = async (answer: Response): Promise<ProblemBody> => {
  if (answer.headers.get('content-type') !== 'application/problem+json')
    throw new Error(`not a problem: ${answer.status} ${await answer.text()}`);
  return answer.json<ProblemBody>();
};
