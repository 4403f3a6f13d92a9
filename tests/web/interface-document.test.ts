/**
 * The interface document against the worker that it describes: no route without an operation and none the other
 * way round, and every example is run, its answer held against the schema that the document gives for it.
 */
import { beforeAll, describe, expect, test } from 'vitest';
import { cellarStub } from '../../src/storage/env.ts';
import { app } from '../../src/web/app.ts';
import { interfaceDocument } from '../../src/web/interface/document.ts';
import type { Operation } from '../../src/web/interface/operation.ts';
import { operations } from '../../src/web/interface/operations.ts';
import { ask, beginning, foundCellar, setClock, testEnv } from './cellar-fixture.ts';
import { documentedStatuses, exampleRequest, faultsOf, pathOf } from './interface-requests.ts';
import { pageRoutes } from './page-list.ts';

const patternOf = ({ method, path, route }: Operation): string =>
  `${method} ${route ?? path.replaceAll(/\{([a-z]+)\}/g, ':$1')}`;

describe('the routes of the app', () => {
  const routes = new Set(
    app.routes
      .filter(({ method }) => method !== 'ALL')
      .map(({ method, path }) => `${method.toLowerCase()} ${path}`),
  );

  test('each stand in the interface document or in the list of pages', () => {
    const known = new Set([
      ...operations.map(patternOf),
      ...pageRoutes.map(({ method, path }) => `${method} ${path}`),
    ]);
    const forgotten = [...routes].filter((route) => !known.has(route));
    expect(
      forgotten,
      'add an operation in src/web/interface/operations/, or a page in tests/web/page-list.ts',
    ).toEqual([]);
  });

  test('answer to everything that the document and the list of pages name', () => {
    const named = [
      ...operations.map(patternOf),
      ...pageRoutes.map(({ method, path }) => `${method} ${path}`),
    ];
    expect(named.filter((route) => !routes.has(route))).toEqual([]);
  });

  test('are in the document, each with its answers', () => {
    const document = interfaceDocument();
    const count = Object.values(document.paths).reduce(
      (sum, path) => sum + Object.keys(path).length,
      0,
    );
    expect(count).toBe(operations.length);
    for (const operation of operations)
      expect(documentedStatuses(operation).length).toBeGreaterThan(1);
  });
});

test('the document is what the server answers', async () => {
  const answer = await ask('/v1/openapi.json');
  expect(answer.status).toBe(200);
  expect(await answer.json()).toEqual(JSON.parse(JSON.stringify(interfaceDocument())));
});

test('the media types of bodies are those that are taken', async () => {
  const { key, cellar } = await foundCellar();
  let compared = 0;
  for (const operation of operations) {
    if (operation.bodies === undefined) continue;
    const answer = await ask(pathOf(operation, { cellar }), {
      method: operation.method.toUpperCase(),
      headers: {
        authorization: `Bearer ${operation.who === 'host' ? testEnv.OPERATOR_SECRET : key}`,
        'content-type': 'application/x-of-nobody',
      },
      body: 'x',
    });
    expect({ id: operation.id, status: answer.status }).toEqual({ id: operation.id, status: 415 });
    expect(answer.headers.get('accept-post')?.split(', ')).toEqual(Object.keys(operation.bodies));
    compared += 1;
  }
  expect(compared).toBeGreaterThan(40);
});

describe('the examples', () => {
  /** What the examples need to find and cannot make themselves, by operation. */
  const values: Record<string, string> = {};
  let keeper = '';

  const as = ({ who }: Operation): string | null => {
    if (who === 'anyone') return null;
    return who === 'host' ? testEnv.OPERATOR_SECRET : keeper;
  };

  const sendPressure = async (pascal: number): Promise<void> => {
    const answer = await ask('/v1/cellars/skerrow-yard/readings', {
      method: 'POST',
      headers: {
        authorization: `Bearer ${keeper}`,
        'content-type': 'application/senml+json',
      },
      body: JSON.stringify([{ n: 'keg-3/gauge-pressure', u: 'Pa', v: pascal }]),
    });
    expect(answer.status).toBe(200);
  };

  const entries = async (): Promise<number> => {
    const list = cellarStub(testEnv, 'skerrow-yard');
    return (await list.describe()) === null ? 0 : (await list.journal(1000, null)).length;
  };

  /** What a person does: neither a look, nor a reading, nor a sum; before a cellar stands it has no journal. */
  const isAct = ({ id, method, group }: Operation): boolean =>
    method !== 'get' && group !== 'Calculations' && !['send-readings', 'found-cellar'].includes(id);

  const before: Readonly<Record<string, () => Promise<void>>> = {
    'acknowledge-alarm': async () => {
      await setClock(beginning + 60);
      await sendPressure(310_000);
      await setClock(beginning + 61);
      await sendPressure(310_000);
    },
    'reset-alarm': async () => {
      for (const later of [600, 1200, 3600, 7200]) {
        await setClock(beginning + later);
        await sendPressure(100_000);
      }
      await ask('/v1/cellars/skerrow-yard/vessels/keg-3/alarms/over-pressure/acknowledge', {
        method: 'POST',
        headers: { authorization: `Bearer ${keeper}`, 'content-type': 'application/json' },
        body: '{}',
      });
    },
  };

  beforeAll(() => setClock(beginning));

  type Run = { readonly operation: Operation; readonly media: string | undefined };

  const runnable = operations.flatMap((operation): readonly Run[] => {
    const media = Object.keys(operation.bodies ?? {});
    return media.length === 0
      ? [{ operation, media: undefined }]
      : media.map((one) => ({ operation, media: one }));
  });

  test.each(runnable.map((one) => [`${one.operation.id} ${one.media ?? ''}`.trim(), one] as const))(
    '%s',
    async (_, { operation, media }) => {
      await before[operation.id]?.();
      const entered = await entries();
      const answer = await ask(
        pathOf(operation, values, media),
        exampleRequest(operation, as(operation), media),
      );
      const copy = answer.clone();
      expect({ status: answer.status, said: await answer.text() }).toMatchObject({
        status: operation.answer.status,
      });
      expect(await faultsOf(operation, copy.clone())).toEqual([]);
      expect((await entries()) - entered, 'entries of the journal').toBe(isAct(operation) ? 1 : 0);
      if (!/[/+]json\b/.test(copy.headers.get('content-type') ?? '')) return;
      const body = await copy.json<Record<string, unknown>>();
      if (operation.id === 'found-cellar') keeper = String(body.key);
      if (operation.id === 'make-key') values.key = String(body.keyId);
      if (operation.id === 'add-receiver') values.receiver = String(body.id);
    },
  );
});
