/**
 * Who reaches what: every operation of the interface document and every page, asked by every kind of key, by none,
 * and by keys that open nothing here. What is expected comes from "who may" of each; nothing else lets anybody in.
 */
import { beforeAll, describe, expect, test } from 'vitest';
import { type Role, roles } from '../../src/storage/access.ts';
import type { Operation } from '../../src/web/interface/operation.ts';
import { operations } from '../../src/web/interface/operations.ts';
import {
  type Asking,
  ask,
  beginning,
  cellarWithAle,
  foundCellar,
  setClock,
  testEnv,
} from './cellar-fixture.ts';
import { askInside, documentedStatuses, exampleRequest, pathOf } from './interface-requests.ts';
import { browserOf } from './page-browser.ts';
import { type PageRoute, pageRoutes } from './page-list.ts';

let cellar: Asking;
let keyOf: Readonly<Record<Role, string>>;
let now = beginning;
/** Keys that open nothing here, by what is wrong with them. */
let shut: Readonly<Record<string, string>>;

const made = async (
  keeper: Asking,
  role: Role,
  expiresAt: number | null = null,
): Promise<{ key: string; keyId: string }> => {
  const answer = await keeper.post('/keys', {
    title: `A ${role}`,
    role,
    vessels: role === 'sensor' ? ['fermenter-1'] : null,
    expiresAt,
  });
  return answer.json<{ key: string; keyId: string }>();
};

const changed = (key: string): string => `${key.slice(0, -1)}${key.endsWith('A') ? 'B' : 'A'}`;

beforeAll(async () => {
  await setClock(beginning);
  cellar = await cellarWithAle();
  const entries = await Promise.all(
    roles.map(async (role) => [role, (await made(cellar, role)).key] as const),
  );
  keyOf = Object.fromEntries(entries) as Record<Role, string>;
  const revoked = await made(cellar, 'keeper');
  const answer = await ask(`/v1/cellars/${cellar.cellar}/keys/${revoked.keyId}`, {
    method: 'DELETE',
    headers: { authorization: `Bearer ${cellar.key}` },
  });
  expect(answer.status).toBe(204);
  const expired = await made(cellar, 'keeper', beginning + 60);
  now = beginning + 60;
  await setClock(now);
  shut = {
    wrong: changed(cellar.key),
    revoked: revoked.key,
    expired: expired.key,
    'of the keeper of another cellar': (await foundCellar()).key,
    'no key at all': 'nonsense',
  };
});

const keyed = operations.filter(({ who }) => typeof who !== 'string');

/** Those that name their cellar; /metrics takes it from the key, so that each key sees its own. */
const ofCellar = keyed.filter(({ path }) => path.includes('{cellar}'));

/** A body of the right media type that no schema takes, so that nobody changes anything. */
const asking = (operation: Operation, key: string | null): RequestInit => {
  const { body: _, ...rest } = exampleRequest(operation, key);
  return operation.bodies === undefined ? rest : { ...rest, body: '!' };
};

const send = async (
  operation: Operation,
  key: string | null,
  at = cellar.cellar,
): Promise<{ readonly status: number; readonly body: string }> => {
  const values = { cellar: at, vessel: 'never-made', batch: 'never-made' };
  const answer = await askInside(pathOf(operation, values), asking(operation, key), now);
  return { status: answer.status, body: await answer.text() };
};

describe('an operation with a key', () => {
  test('is every one under /v1/cellars but the two of whoever runs the server', () => {
    const open = operations.filter(({ who }) => typeof who === 'string');
    expect(open.filter(({ path }) => path.startsWith('/v1/cellars')).map(({ id }) => id)).toEqual([
      'found-cellar',
      'add-keeper-key',
    ]);
    expect(keyed.length).toBeGreaterThan(25);
  });

  test.each(roles)('of a %s opens what its role may, and nothing else', async (role) => {
    const found: Record<string, boolean> = {};
    const expected: Record<string, boolean> = {};
    for (const operation of keyed) {
      const { status } = await send(operation, keyOf[role]);
      found[operation.id] = status !== 403;
      expected[operation.id] = operation.who.includes(role);
      expect(status, operation.id).not.toBe(401);
      expect(documentedStatuses(operation), operation.id).toContain(String(status));
    }
    expect(found).toEqual(expected);
  });

  test('without a key answers 401, in one wording for all', async () => {
    const bodies = new Set<string>();
    for (const operation of keyed) {
      const { status, body } = await send(operation, null);
      expect({ id: operation.id, status }).toEqual({ id: operation.id, status: 401 });
      bodies.add(body);
    }
    expect(bodies.size).toBe(1);
  });

  test('with a key that opens nothing here answers 401, as a cellar that was never founded does', async () => {
    const bodies = new Set<string>();
    let compared = 0;
    for (const operation of ofCellar) {
      // So that wrong tries are not too many: keys.test.ts looks at that.
      now += 120;
      await setClock(now);
      for (const [wrong, key] of Object.entries(shut)) {
        for (const at of [cellar.cellar, 'never-founded']) {
          const { status, body } = await send(operation, key, at);
          expect({ id: operation.id, wrong, at, status }).toMatchObject({ status: 401 });
          bodies.add(body);
          compared += 1;
        }
      }
    }
    expect(compared).toBe(ofCellar.length * Object.keys(shut).length * 2);
    expect(bodies.size).toBe(1);
  });
});

describe('an operation of whoever runs the server', () => {
  test('opens to the operator secret alone', async () => {
    const own = operations.filter(({ who }) => who === 'host');
    expect(own).toHaveLength(2);
    for (const operation of own) {
      expect((await send(operation, testEnv.OPERATOR_SECRET)).status).toBe(400);
      expect((await send(operation, null)).status).toBe(401);
      for (const key of [...Object.values(keyOf), ...Object.values(shut)])
        expect((await send(operation, key)).status, operation.id).toBe(401);
    }
  });
});

describe('an operation for anyone', () => {
  test('asks for no key, and gives a key no other answer', async () => {
    const open = operations.filter(({ who }) => who === 'anyone');
    expect(open.length).toBeGreaterThan(60);
    for (const operation of open)
      expect(await send(operation, keyOf.sensor)).toEqual(await send(operation, null));
  });
});

describe('a page', () => {
  const own = pageRoutes.filter(({ who }) => who !== 'anyone');
  const origin = 'http://cellar.test';

  const addressOf = ({ path }: PageRoute, at = cellar.cellar): string =>
    path
      .replace(':cellar', at)
      .replace(':act', 'acknowledge')
      .replaceAll(/:[a-z]+/g, 'never-made');

  /** A form of nothing: nobody changes anything with it. */
  const visit = (
    route: PageRoute,
    cookie: string | null,
    at?: string,
    from = origin,
  ): Promise<Response> =>
    askInside(
      addressOf(route, at),
      {
        method: route.method.toUpperCase(),
        headers: {
          ...(cookie === null ? {} : { cookie }),
          ...(route.method === 'get'
            ? {}
            : { origin: from, 'content-type': 'application/x-www-form-urlencoded' }),
        },
        ...(route.method === 'get' ? {} : { body: '' }),
      },
      now,
    );

  test.each(['viewer', 'operator', 'keeper'] as const)(
    'opens to a %s as far as the role goes',
    async (role) => {
      const { cookie } = await browserOf(keyOf[role]);
      const found: Record<string, boolean> = {};
      const expected: Record<string, boolean> = {};
      for (const route of own) {
        const { status } = await visit(route, cookie);
        expect(status).toBeLessThan(500);
        found[`${route.method} ${route.path}`] = status !== 403;
        expected[`${route.method} ${route.path}`] = route.who.includes(role);
      }
      expect(found).toEqual(expected);
    },
  );

  test('sends whoever is not signed in to the door', async () => {
    for (const route of own) {
      const answer = await visit(route, null);
      expect({ path: route.path, status: answer.status }).toMatchObject({ status: 303 });
      expect(answer.headers.get('location')).toBe('/sign-in');
    }
  });

  test('of another cellar answers as one that was never founded', async () => {
    const { cookie } = await browserOf(keyOf.keeper);
    const other = (await cellarWithAle()).cellar;
    for (const route of own) {
      const [foreign, nowhere] = await Promise.all(
        [other, 'never-founded'].map(async (at) => {
          const answer = await visit(route, cookie, at);
          return { status: answer.status, body: await answer.text() };
        }),
      );
      expect({ path: route.path, status: foreign?.status }).toMatchObject({ status: 404 });
      expect(foreign).toEqual(nowhere);
    }
  });

  test('takes no form from another site, from none that says so, or from a sandbox', async () => {
    const { cookie } = await browserOf(keyOf.keeper);
    const forms = pageRoutes.filter(({ method }) => method === 'post');
    expect(forms.length).toBeGreaterThan(12);
    for (const route of forms)
      for (const from of ['https://elsewhere.test', 'null', ''])
        expect(
          { path: route.path, from, status: (await visit(route, cookie, undefined, from)).status },
          route.path,
        ).toMatchObject({ status: 403 });
  });
});
