/**
 * The way readings come in changes no verdict: packs sent again, evictions in between, and packs that
 * were held up at a gateway and come together in any order. Through the door, in the runtime.
 */
import { evictDurableObject } from 'cloudflare:test';
import fc from 'fast-check';
import { beforeEach, expect, test } from 'vitest';
import { vesselStub } from '../../src/storage/env.ts';
import { type Asking, beginning, cellarWithAle, setClock, testEnv } from './cellar-fixture.ts';

beforeEach(() => setClock(beginning));

const quarter = 900;

type Reading = { readonly n: string; readonly u: string; readonly v: number; readonly t: number };

/** The band of the batch ends at 22 °C, the rating at 100 kPa. */
const blocks = fc.array(
  fc.record({
    celsius: fc.constantFrom(19, 21, 23.5, 24),
    pascal: fc.constantFrom(10_000, 60_000, 98_000, 99_000),
    keys: fc.array(fc.nat({ max: 999 }), { minLength: 12, maxLength: 12 }),
    packs: fc.integer({ min: 1, max: 3 }),
  }),
  { minLength: 4, maxLength: 10, size: 'max' },
);

type Block = typeof blocks extends fc.Arbitrary<(infer One)[]> ? One : never;

const readingsOf = ({ celsius, pascal }: Block, index: number): readonly Reading[] =>
  [0, 1, 2].flatMap((place) => {
    const t = beginning + index * quarter + place * 300 + 150;
    return [
      { n: 'fermenter-1/temperature', u: 'Cel', v: celsius, t },
      { n: 'fermenter-1/gauge-pressure', u: 'Pa', v: pascal + place, t },
    ];
  });

const send = async (
  cellar: Asking,
  all: readonly Block[],
  packsOf: (readings: readonly Reading[], block: Block) => readonly (readonly Reading[])[],
  evict: boolean,
): Promise<void> => {
  for (const [index, block] of all.entries()) {
    await setClock(beginning + (index + 1) * quarter);
    for (const pack of packsOf(readingsOf(block, index), block)) {
      expect((await cellar.send(pack)).status).toBe(200);
    }
    if (evict) await evictDurableObject(vesselStub(testEnv, cellar.cellar, 'fermenter-1'));
  }
};

type View = {
  readonly status: {
    readonly alarms: readonly { readonly alarm: string; readonly state: string }[];
    readonly pressure: unknown;
    readonly latest: unknown;
  };
  readonly changes: readonly { readonly transition: string }[];
};

const viewOf = async (cellar: Asking): Promise<View> =>
  (await cellar.get('/vessels/fermenter-1')).json<View>();

const plain = (readings: readonly Reading[]) => [readings];

test('a pack that is sent again changes nothing, nor does an eviction in between', async () => {
  let changes = 0;
  await fc.assert(
    fc.asyncProperty(blocks, async (all) => {
      const [once, again] = [await cellarWithAle(), await cellarWithAle()];
      await send(once, all, plain, false);
      const whole = all.flatMap((block, index) => [...readingsOf(block, index)]);
      await send(again, all, (readings) => [readings, readings, readings.slice(2)], true);
      await again.send(whole);
      const [one, other] = [await viewOf(once), await viewOf(again)];
      expect(other).toEqual(one);
      changes += one.changes.length;
    }),
    { numRuns: 3 },
  );
  expect(changes).toBeGreaterThan(0);
});

test('packs that come together in any order end in the same status', async () => {
  await fc.assert(
    fc.asyncProperty(blocks, async (all) => {
      const [once, mixed] = [await cellarWithAle(), await cellarWithAle()];
      await send(once, all, plain, false);
      await send(
        mixed,
        all,
        (readings, { keys, packs }) => {
          const shuffled = readings
            .map((reading, index) => [keys[index] ?? 0, reading] as const)
            .toSorted(([one], [other]) => one - other)
            .map(([, reading]) => reading);
          const size = Math.ceil(shuffled.length / packs);
          return Array.from({ length: packs }, (_, pack) =>
            shuffled.slice(pack * size, (pack + 1) * size),
          );
        },
        false,
      );
      const [one, other] = [await viewOf(once), await viewOf(mixed)];
      expect(other.status.latest).toEqual(one.status.latest);
      expect(other.status.pressure).toEqual(one.status.pressure);
      const holding = ({ status }: View) =>
        status.alarms
          .filter(({ state }) => state === 'unacknowledged')
          .map(({ alarm }) => alarm)
          .filter((alarm) => /^(temperature|over-pressure$)/.test(alarm))
          .toSorted();
      expect(holding(other)).toEqual(holding(one));
    }),
    { numRuns: 3 },
  );
});
