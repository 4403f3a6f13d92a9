/** Who gets in: keys, roles, vessels, and that one cellar never sees another. */
import { beforeEach, describe, expect, test } from 'vitest';
import {
  ask,
  beginning,
  cellarWithAle,
  fermenter,
  foundCellar,
  problemOf,
  setClock,
} from './cellar-fixture.ts';

beforeEach(() => setClock(beginning));

const reading = (vessel: string) => [{ n: `${vessel}/temperature`, u: 'Cel', v: 19 }];

const keyOf = async (answer: Response): Promise<string> =>
  (await answer.json<{ key: string }>()).key;

describe('founding a cellar', () => {
  test('needs the operator secret', async () => {
    const wrong = await ask('/v1/cellars', {
      method: 'POST',
      headers: { authorization: 'Bearer guess', 'content-type': 'application/json' },
      body: JSON.stringify({ cellar: 'elsewhere', title: 'Elsewhere' }),
    });
    expect(wrong.status).toBe(401);
    const missing = await ask('/v1/cellars', { method: 'POST', body: '{}' });
    expect(missing.status).toBe(401);
  });
});

describe('a key', () => {
  test('is needed, and the answer says how to send it', async () => {
    const { cellar } = await cellarWithAle();
    const answer = await ask(`/v1/cellars/${cellar}/vessels`);
    expect(answer.status).toBe(401);
    expect(answer.headers.get('www-authenticate')).toMatch(/Bearer/);
    expect((await problemOf(answer)).detail).toMatch(/Authorization: Bearer/);
  });

  test('that is wrong, of another cellar, or for a cellar that does not exist: one and the same answer', async () => {
    const mine = await cellarWithAle();
    const other = await foundCellar();
    const last = mine.key.endsWith('A') ? 'B' : 'A';
    const bodies = await Promise.all(
      [
        mine.withKey(`${mine.key.slice(0, -1)}${last}`).get('/vessels'),
        mine.withKey(other.key).get('/vessels'),
        mine.withKey('nonsense').get('/vessels'),
        ask('/v1/cellars/never-founded/vessels', {
          headers: { authorization: `Bearer ${mine.key}` },
        }),
        ask('/v1/cellars/never-founded/vessels', {
          headers: { authorization: `Bearer ${mine.key.replace(mine.cellar, 'never-founded')}` },
        }),
      ].map(async (pending) => {
        const answer = await pending;
        return { status: answer.status, body: await answer.text() };
      }),
    );
    expect(bodies[0]?.status).toBe(401);
    for (const body of bodies) expect(body).toEqual(bodies[0]);
  });

  test('of a sensor writes its own vessel and no other, and reads nothing', async () => {
    const keeper = await cellarWithAle();
    await keeper.post('/vessels', { ...fermenter, vessel: 'fermenter-2', title: 'Old Tam' });
    const sensor = keeper.withKey(
      await keyOf(
        await keeper.post('/keys', {
          title: 'Probe of Long Meg',
          role: 'sensor',
          vessels: ['fermenter-1'],
        }),
      ),
    );
    const own = await sensor.send(reading('fermenter-1'));
    expect({ status: own.status, body: await own.text() }).toMatchObject({ status: 200 });
    for (const vessel of ['fermenter-2', 'never-made']) {
      const answer = await sensor.send(reading(vessel));
      expect(answer.status).toBe(403);
      expect((await problemOf(answer)).detail).toMatch(/may not write/);
    }
    const mixed = await sensor.send([...reading('fermenter-1'), ...reading('fermenter-2')]);
    expect(mixed.status).toBe(403);
    expect((await sensor.get('/vessels')).status).toBe(403);
    expect((await sensor.get('/vessels/fermenter-1')).status).toBe(403);
  });

  test.each([
    ['viewer', 200, 403, 403],
    ['operator', 200, 201, 403],
    ['keeper', 200, 201, 201],
  ] as const)('of a %s may do what its role allows', async (role, read, batch, vessel) => {
    const keeper = await foundCellar();
    await keeper.post('/vessels', fermenter);
    const person = keeper.withKey(
      await keyOf(await keeper.post('/keys', { title: 'Maren', role })),
    );
    expect((await person.get('/vessels')).status).toBe(read);
    const started = await person.post('/batches', {
      vessel: 'fermenter-1',
      batch: 'gyle-1',
      title: 'Gyle 1',
      drink: 'ale',
    });
    expect(started.status).toBe(batch);
    const made = await person.post('/vessels', { ...fermenter, vessel: 'keg-1', kind: 'keg' });
    expect(made.status).toBe(vessel);
  });

  test('works no longer once it is revoked, and the last keeper key cannot be', async () => {
    const keeper = await foundCellar();
    const made = await keeper.post('/keys', { title: 'Maren', role: 'viewer' });
    const { key, keyId } = await made.json<{ key: string; keyId: string }>();
    const viewer = keeper.withKey(key);
    expect((await viewer.get('/vessels')).status).toBe(200);
    const revoke = (id: string) =>
      ask(`/v1/cellars/${keeper.cellar}/keys/${id}`, {
        method: 'DELETE',
        headers: { authorization: `Bearer ${keeper.key}` },
      });
    expect((await revoke(keyId)).status).toBe(204);
    expect((await viewer.get('/vessels')).status).toBe(401);
    const { keys } = await (await keeper.get('/keys')).json<{
      keys: { keyId: string; role: string }[];
    }>();
    const own = keys.find((listed) => listed.role === 'keeper');
    expect((await revoke(own?.keyId ?? '')).status).toBe(409);
    expect((await keeper.get('/vessels')).status).toBe(200);
  });

  test('is never given back by a list', async () => {
    const keeper = await foundCellar();
    const text = await (await keeper.get('/keys')).text();
    expect(text).not.toContain(keeper.key);
    expect(text).not.toContain('hash');
  });
});
