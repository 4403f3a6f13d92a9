/** A key that sends more than its budget is told so with 429 and when to come again. */
import { expect, test } from 'vitest';
import { beginning, cellarWithAle, fermenter, problemOf, setClock } from './cellar-fixture.ts';

/** Ten thousand records, the most that one pack may hold. */
const fullPack = (vessel: string, hour: number) =>
  Array.from({ length: 10_000 }, (_, index) => ({
    ...(index === 0
      ? { bn: `${vessel}/temperature`, bu: 'Cel', bt: beginning - 86_400 + 3600 * hour }
      : {}),
    t: index / 10,
    v: 19,
  }));

test('past the burst readings are refused until the time told, and the other vessel is open', async () => {
  await setClock(beginning);
  const cellar = await cellarWithAle();
  await cellar.post('/vessels', { ...fermenter, vessel: 'fermenter-2', title: 'Old Tam' });
  expect((await cellar.send(fullPack('fermenter-1', 0))).status).toBe(200);
  expect((await cellar.send(fullPack('fermenter-1', 1))).status).toBe(200);
  const refused = await cellar.send(fullPack('fermenter-1', 2));
  expect(refused.status).toBe(429);
  const seconds = Number(refused.headers.get('retry-after'));
  expect(seconds).toBe(1000);
  const problem = await problemOf(refused);
  expect(problem.detail).toMatch(/fermenter-1.*1000 s, repeating is safe/);
  expect(problem).toMatchObject({ retryAfterSeconds: 1000 });
  expect((await cellar.send(fullPack('fermenter-2', 2))).status).toBe(200);

  await setClock(beginning + seconds);
  const again = await cellar.send(fullPack('fermenter-1', 2));
  expect(await again.json()).toEqual({ stored: 10_000, repeated: 0, corrected: 0 });
});
