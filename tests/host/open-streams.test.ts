/**
 * Readings over real sockets: an open stream is stored while it lasts, a refusal reaches a sender who is not done,
 * and a connection that breaks off costs nothing of what came before.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { type ClientRequest, type IncomingMessage, request } from 'node:http';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { builtWorker, type RunningHost, startHost } from '../../src/host/miniflare-host.ts';
import { freshBuild } from './fresh-build.ts';

const scratch = mkdtempSync(join(tmpdir(), 'gyleward-streams-'));
const secret = 'operator-secret-of-the-open-streams-test';
let host: RunningHost;
let key = '';

const post = async (path: string, bearer: string, body: unknown): Promise<Response> =>
  fetch(`${host.url}${path}`, {
    method: 'POST',
    headers: { authorization: `Bearer ${bearer}`, 'content-type': 'application/json' },
    body: JSON.stringify(body),
  });

beforeAll(async () => {
  await freshBuild();
  host = await startHost({
    worker: builtWorker,
    objects: scratch,
    host: '127.0.0.1',
    port: 0,
    operatorSecret: secret,
    cookieSecret: secret,
    allowPrivateReceivers: false,
    clock: null,
    onLog: () => undefined,
  });
  const founded = await post('/v1/cellars', secret, { cellar: 'yard', title: 'Skerrow Yard' });
  key = ((await founded.json()) as { key: string }).key;
  for (const vessel of ['keg-1', 'keg-2', 'keg-3']) {
    const body = { vessel, title: vessel, kind: 'keg', volumeLitre: 30, headspaceLitre: 2 };
    expect((await post('/v1/cellars/yard/vessels', key, body)).status).toBe(201);
  }
}, 180_000);

afterAll(async () => {
  await host.dispose();
  rmSync(scratch, { recursive: true, force: true });
});

type Answer = { readonly status: number; readonly body: Readonly<Record<string, unknown>> };

const open = (): { readonly sender: ClientRequest; readonly answer: Promise<Answer> } => {
  const sender = request(`${host.url}/v1/cellars/yard/readings`, {
    method: 'POST',
    headers: { authorization: `Bearer ${key}`, 'content-type': 'application/sensml+json' },
  });
  const answer = new Promise<Answer>((settle, refuse) => {
    sender.on('error', refuse);
    sender.on('response', (response: IncomingMessage) => {
      let text = '';
      response.setEncoding('utf8');
      response.on('data', (piece: string) => {
        text += piece;
      });
      response.on('end', () =>
        settle({ status: response.statusCode ?? 0, body: JSON.parse(text) as Answer['body'] }),
      );
    });
  });
  return { sender, answer };
};

/** Asks until the value is there. */
const seen = async (vessel: string, value: number): Promise<void> => {
  while (true) {
    const answer = await fetch(`${host.url}/v1/cellars/yard/vessels/${vessel}`, {
      headers: { authorization: `Bearer ${key}` },
    });
    const { status } = (await answer.json()) as {
      status: { latest: { temperature?: { value: number } } };
    };
    if (status.latest.temperature?.value === value) return;
  }
};

const record = (vessel: string, value: number): string =>
  JSON.stringify({ n: `${vessel}/temperature`, u: 'Cel', v: value });

test('each record is stored while the stream is open, and its end is counted', async () => {
  const { sender, answer } = open();
  sender.write('[');
  for (let value = 1; value <= 5; value += 1) {
    sender.write(`${value === 1 ? '' : ','}${record('keg-1', value)}`);
    await seen('keg-1', value);
  }
  sender.end(']');
  expect(await answer).toEqual({
    status: 200,
    body: { records: 5, stored: 5, repeated: 0, corrected: 0 },
  });
}, 180_000);

test('a refusal comes while the sender still has the stream open', async () => {
  const { sender, answer } = open();
  sender.write(`[${record('keg-2', 7)},`);
  await seen('keg-2', 7);
  sender.write(`${record('keg-2', 400)},`);
  const { status, body } = await answer;
  expect(status).toBe(422);
  expect(body).toMatchObject({ record: 1, stored: 1, detail: expect.stringMatching(/400/) });
  sender.destroy();
}, 180_000);

test('a connection that breaks off leaves what came before, and the door open', async () => {
  const { sender, answer } = open();
  const broken = answer.then(
    () => 'answered',
    () => 'broken',
  );
  sender.write(`[${record('keg-3', 7)},{"n":"keg-3/temp`);
  await seen('keg-3', 7);
  sender.destroy();
  expect(await broken).toBe('broken');
  const next = open();
  next.sender.end(`[${record('keg-3', 8)}]`);
  expect(await next.answer).toMatchObject({ status: 200, body: { records: 1, stored: 1 } });
  await seen('keg-3', 8);
}, 180_000);
