/**
 * Generated requests over every operation and every page: from the schemas, and what no schema allows. Whatever
 * comes, the answer is none of ours to be sorry for, a refusal is a problem document or a page in words, nothing
 * that was sent comes back raw, every answer carries its guarding headers, and what was refused has changed nothing.
 * FUZZ_REQUESTS (1000) and FUZZ_SEED say how many and which; `npm run fuzz` asks 20,000.
 */

import { runInDurableObject } from 'cloudflare:test';
import { env } from 'cloudflare:workers';
import { expect, test } from 'vitest';
import { cellarStub, vesselStub } from '../../src/storage/env.ts';
import type { Operation } from '../../src/web/interface/operation.ts';
import { operations } from '../../src/web/interface/operations.ts';
import { parameters } from '../../src/web/interface/parameters.ts';
import { beginning, cellarWithAle, setClock, testEnv } from './cellar-fixture.ts';
import { allowed, garbage, htmlMark, nastyTexts, nastyValue } from './fuzz-values.ts';
import { askInside, bodySchemaOf, exampleRequest, faultsOf } from './interface-requests.ts';
import { browserOf } from './page-browser.ts';
import { pageRoutes } from './page-list.ts';
import { type Random, randomFrom } from './random.ts';

const settings = env as unknown as { FUZZ_REQUESTS?: string; FUZZ_SEED?: string };
const wanted = Number(settings.FUZZ_REQUESTS ?? 1000);
const seed = Number(settings.FUZZ_SEED ?? 20_261_125);

/** Cellar time. */
let seconds = beginning;

/** Requests to one cellar; then another is founded, so that what fuzzing has done to it does not shield it. */
const perCellar = 250;

type Place = {
  readonly cellar: string;
  readonly keeper: string;
  readonly viewer: string;
  readonly cookie: string;
};

const found = async (): Promise<Place> => {
  const keeper = await cellarWithAle();
  const made = await keeper.post('/keys', { title: 'Maren', role: 'viewer' });
  const { key: viewer } = await made.json<{ key: string }>();
  const { cookie } = await browserOf(keeper.key);
  return { cellar: keeper.cellar, keeper: keeper.key, viewer, cookie };
};

/** Written by wake-ups, which come when they come, or by the key's own use. */
const restless = new Set([
  'outbox',
  'news',
  'delivery',
  'standing_alarm',
  'called',
  'session',
  'migration',
]);

const tablesOf = (sql: SqlStorage): string => {
  const names = sql
    .exec<{ name: string }>(`SELECT name FROM sqlite_master WHERE type = 'table'`)
    .toArray()
    .map(({ name }) => name)
    .filter((name) => !restless.has(name) && !/^(_cf_|sqlite_)/.test(name));
  return JSON.stringify(
    names.map((name) => {
      const rows = sql.exec(`SELECT * FROM ${name}`).toArray();
      return [
        name,
        rows
          .filter((row) => name !== 'document' || ['identity', 'batch'].includes(String(row.name)))
          // The journal counts keys that open nothing, in an entry of nobody's.
          .filter(({ act }) => act !== 'tries-refused')
          .map((row) => ({ ...row, last_used_at: null, last_outcome: null })),
      ];
    }),
  );
};

/** What stands in the rows of the cellar and its vessel. */
const stateOf = async ({ cellar }: Place): Promise<string> => {
  const [list, vessel] = await Promise.all([
    runInDurableObject(cellarStub(testEnv, cellar), (_, { storage }) => tablesOf(storage.sql)),
    runInDurableObject(vesselStub(testEnv, cellar, 'fermenter-1'), (_, { storage }) =>
      tablesOf(storage.sql),
    ),
  ]);
  return `${list}\n${vessel}`;
};

type Shot = {
  readonly path: string;
  readonly init: RequestInit & { readonly method: string };
  /** Set where the request is one that the document describes, but for its body. */
  readonly operation: Operation | null;
};

const known: Readonly<Record<string, string>> = {
  vessel: 'fermenter-1',
  batch: 'haymaker-12',
  alarm: 'over-pressure',
};

const query = (random: Random): string =>
  new URLSearchParams(
    Array.from({ length: random.below(3) }, () => [
      random.pick(['days', 'from', 'to', 'buckets', 'vessel', 'zone', 'stage', '__proto__']),
      String(random.pick(nastyTexts)),
    ]),
  ).toString();

const authorizationOf = (random: Random, { who }: Operation, place: Place): string | null => {
  if (random.chance(0.03)) return null;
  if (random.chance(0.03))
    return `Bearer ${encodeURIComponent(random.pick(nastyTexts).toWellFormed())}`;
  if (random.chance(0.05)) return `Bearer ${place.viewer}`;
  return `Bearer ${who === 'host' ? testEnv.OPERATOR_SECRET : place.keeper}`;
};

const bodyOf = (random: Random, operation: Operation, media: string): BodyInit => {
  const schema = bodySchemaOf(operation, media);
  if (schema === null || random.chance(0.3)) return garbage(random);
  const text = JSON.stringify(
    random.chance(0.1) ? nastyValue(random) : allowed(schema, random, 0.08),
  );
  return random.chance(0.05) ? text.slice(0, random.below(text.length + 1)) : (text ?? 'null');
};

const shotAtOperation = (random: Random, place: Place): Shot => {
  const operation = random.pick(operations);
  const clean = random.chance(0.8);
  const path = operation.path.replaceAll(/\{([a-z]+)\}/g, (_, name: string) => {
    if (name === 'cellar' && (clean || random.chance(0.5))) return place.cellar;
    if (clean) return known[name] ?? parameters[name]?.example ?? name;
    const text = random.pick(nastyTexts);
    return random.chance(0.2) ? '%ff%00' : encodeURIComponent(text.toWellFormed());
  });
  const medias = Object.keys(operation.bodies ?? {});
  const media = medias.length === 0 ? null : random.pick(medias);
  const authorization = authorizationOf(random, operation, place);
  const odd = random.chance(0.04);
  const method = odd ? random.pick(['PATCH', 'PUT', 'DELETE', 'POST', 'OPTIONS']) : null;
  const headers = new Headers(exampleRequest(operation, null).headers);
  if (authorization !== null) headers.set('authorization', authorization);
  if (media !== null) headers.set('content-type', media);
  if (random.chance(0.03)) headers.set('content-type', htmlMark);
  if (random.chance(0.1)) headers.set('content-encoding', random.pick(['gzip', 'br', htmlMark]));
  const sent = method ?? operation.method.toUpperCase();
  const mediaQuery = new URLSearchParams(
    media === null ? {} : operation.bodies?.[media]?.query,
  ).toString();
  const asked = random.chance(0.3) ? query(random) : mediaQuery;
  return {
    path: asked === '' ? path : `${path}?${asked}`,
    init: {
      method: sent,
      headers,
      ...(media === null || sent === 'GET' ? {} : { body: bodyOf(random, operation, media) }),
    },
    operation: clean && method === null ? operation : null,
  };
};

const shotAtPage = (random: Random, place: Place): Shot => {
  const { method, path } = random.pick(pageRoutes);
  const filled = path.replaceAll(/:([a-z]+)/g, (_, name: string) => {
    if (name === 'cellar' && random.chance(0.9)) return place.cellar;
    if (random.chance(0.6)) return known[name] ?? 'acknowledge';
    return encodeURIComponent(random.pick(nastyTexts).toWellFormed());
  });
  const names = ['title', 'vessel', 'kind', 'volumeLitre', 'role', 'url', 'stage', 'note', 'key'];
  const fields = Array.from({ length: random.below(6) }, () => [
    random.pick(names),
    String(random.pick(nastyTexts)).toWellFormed(),
  ]);
  const form = random.chance(0.8) ? new URLSearchParams(fields).toString() : garbage(random);
  const asked = query(random);
  return {
    path: asked === '' ? filled : `${filled}?${asked}`,
    init: {
      method: method.toUpperCase(),
      headers: {
        cookie: random.chance(0.9) ? place.cookie : `__Host-cellar-session=${'x'.repeat(80)}`,
        ...(method === 'get'
          ? {}
          : {
              origin: 'http://cellar.test',
              'content-type': 'application/x-www-form-urlencoded',
            }),
      },
      ...(method === 'get' ? {} : { body: form }),
    },
    operation: null,
  };
};

/** Signing out would close the fuzzer's own session, and a page of it would be the door from there on. */
const isFarewell = ({ path }: Shot): boolean => path.startsWith('/sign-out');

/** Controls of C0 and C1 but for line ends and tabs, and marks that turn the direction of text. */
const isControl = (point: number): boolean =>
  (point < 0x20 && ![0x09, 0x0a, 0x0d].includes(point)) ||
  (point >= 0x7f && point <= 0x9f) ||
  (point >= 0x202a && point <= 0x202e) ||
  (point >= 0x2066 && point <= 0x2069);

const hasControl = (words: string): boolean =>
  Array.from(words).some((letter) => isControl(letter.codePointAt(0) ?? 0));

const wordsOf = (value: unknown): readonly string[] => {
  if (typeof value === 'string') return [value];
  return typeof value === 'object' && value !== null ? Object.values(value).flatMap(wordsOf) : [];
};

/** What is wrong with an answer; empty where nothing is. */
const wrongWith = async (shot: Shot, answer: Response): Promise<readonly string[]> => {
  const wrong: string[] = [];
  const media = answer.headers.get('content-type') ?? '';
  const copy = answer.clone();
  const text = await answer.text();
  if (answer.status >= 500) wrong.push(`status ${answer.status}: ${text.slice(0, 200)}`);
  if (answer.headers.get('x-content-type-options') !== 'nosniff') wrong.push('no nosniff');
  if (!answer.headers.get('content-security-policy')?.includes("default-src 'none'"))
    wrong.push('no policy');
  if (answer.status >= 400) {
    const program = shot.path.startsWith('/v1/');
    if (program && media !== 'application/problem+json') wrong.push(`media type ${media}`);
    if (!program && !/^(text\/html|application\/problem\+json)/.test(media))
      wrong.push(`media type ${media}`);
    if (program && wordsOf(JSON.parse(text)).some(hasControl))
      wrong.push(`a control character in ${text.slice(0, 300)}`);
    if (text.includes('Q'.repeat(200)) && program) wrong.push('much of the input');
  }
  if (media.startsWith('text/html') && text.includes(htmlMark)) wrong.push('raw HTML');
  if (shot.operation !== null && answer.status < 500)
    wrong.push(...(await faultsOf(shot.operation, copy)));
  return wrong;
};

test(
  `${wanted} generated requests are answered, or refused in order`,
  async () => {
    await setClock(beginning);
    const random = randomFrom(seed);
    const counts = { refused: 0, taken: 0, unchanged: 0 };
    const statuses = new Map<number, number>();
    let place = await found();
    let state = await stateOf(place);
    for (let sent = 0; sent < wanted; sent += 1) {
      if (sent % perCellar === perCellar - 1) {
        // Wrong keys must not end in 429 alone: keys.test.ts looks at those.
        seconds = beginning + sent * 4;
        await setClock(seconds);
        place = await found();
        state = await stateOf(place);
      }
      const shot = random.chance(0.75) ? shotAtOperation(random, place) : shotAtPage(random, place);
      if (isFarewell(shot)) continue;
      const answer = await askInside(shot.path, shot.init, seconds);
      const wrong = await wrongWith(shot, answer);
      const told = { seed, sent, shot, status: answer.status };
      expect(wrong, JSON.stringify(told).slice(0, 1500)).toEqual([]);
      statuses.set(answer.status, (statuses.get(answer.status) ?? 0) + 1);
      if (answer.status < 400) counts.taken += 1;
      else counts.refused += 1;
      if (shot.init.method === 'GET') continue;
      const after = await stateOf(place);
      if (answer.status >= 400) {
        expect(after, JSON.stringify(told).slice(0, 1500)).toBe(state);
        counts.unchanged += 1;
      }
      state = after;
    }
    // That something was refused of every sort, something taken, and the rows looked at.
    for (const status of [200, 400, 401, 404, 409, 415, 422])
      expect(statuses.get(status) ?? 0, `answers ${status}`).toBeGreaterThan(wanted / 1000);
    expect(counts.unchanged).toBeGreaterThan(wanted / 4);
    expect(counts.taken).toBeGreaterThan(wanted / 20);
  },
  120_000 + wanted * 500,
);
