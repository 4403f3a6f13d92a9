import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Blend, blend, type Component, type Composition } from '../../src/science/blend.ts';
import { blendShares } from '../../src/science/blend-shares.ts';
import type { BlendCandidate, BlendTarget } from '../../src/science/blend-targets.ts';
import { ethanolDensity } from '../../src/science/ethanol-density.ts';
import { scaleUp, type TrialLine } from '../../src/science/scale-up.ts';
import { elderberryWine, rooibosInfusion, wheatBeer } from './components.ts';
import { right } from './right.ts';

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });

const litres = (name: string, composition: Composition, litre: number): Component => ({
  ...composition,
  name,
  amount: { kind: 'volume', litre, atCelsius: 20 },
});

const compositions: fc.Arbitrary<Composition> = fc
  .record({
    alcohol: between(0, 70),
    extract: between(0, 300),
    share: between(0, 1),
    acid: between(0, 12),
    sulphur: between(0, 60),
    gas: between(0, 6),
  })
  .map(({ alcohol, extract, share, acid, sulphur, gas }) => ({
    alcoholByVolumePercent: alcohol,
    extractGramPerLitre: extract,
    fermentableGramPerLitre: extract * share,
    titratableAcidGramPerLitre: acid,
    pH: 3.6,
    freeSulphurDioxideMilligramPerLitre: sulphur,
    carbonDioxideGramPerLitre: gas,
    gravity: null,
  }));

const value = (total: Blend['titratableAcidGramPerLitre']): number => {
  if (total.kind === 'unknown') throw new Error(`unknown for ${total.missing.join()}`);
  return total.value;
};

describe('blend', () => {
  test('mass, alcohol, extract, acid, sulphur dioxide and gas add up, whatever is mixed', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(compositions, between(0.1, 500)), { minLength: 1, maxLength: 5 }),
        (drawn) => {
          const components = drawn.map(([composition, litre], index) =>
            litres(`c${index}`, composition, litre),
          );
          const whole = right(blend(components));
          const alone = components.map((component) => right(blend([component])));
          const sum = (read: (part: Blend) => number): number =>
            alone.reduce((total, part) => total + read(part), 0);
          const isSum = (read: (part: Blend) => number): void => {
            expect(Math.abs(read(whole) - sum(read))).toBeLessThan(1e-8 * (1 + sum(read)));
          };
          isSum((part) => part.massKilogram);
          isSum((part) => part.volumeLitre * part.drink.alcoholByVolumePercent);
          isSum((part) => part.volumeLitre * part.drink.extractGramPerLitre);
          isSum((part) => part.volumeLitre * value(part.fermentableGramPerLitre));
          isSum((part) => part.volumeLitre * value(part.titratableAcidGramPerLitre));
          isSum((part) => part.volumeLitre * value(part.freeSulphurDioxideMilligramPerLitre));
          isSum((part) => part.volumeLitre * value(part.carbonDioxideGramPerLitre));
        },
      ),
    );
  });

  test('a drink blended with itself stays as it is, also with a measured gravity off the model', () => {
    fc.assert(
      fc.property(between(1, 50), between(1, 50), between(1.005, 1.02), (a, b, gravity) => {
        const measured = { ...wheatBeer, gravity };
        const got = right(blend([litres('one', measured, a), litres('two', measured, b)]));
        expect(got.volumeLitre).toBeCloseTo(a + b, 8);
        expect(got.contraction).toBeCloseTo(0, 9);
        expect(got.gravity).toBeCloseTo(gravity, 9);
        expect(got.drink.alcoholByVolumePercent).toBeCloseTo(4.8, 8);
      }),
    );
  });

  test('ten times as much of all is ten times the blend', () => {
    const small = right(blend([litres('a', wheatBeer, 6), litres('b', elderberryWine, 2)]));
    const large = right(blend([litres('a', wheatBeer, 60), litres('b', elderberryWine, 20)]));
    expect(large.volumeLitre).toBeCloseTo(10 * small.volumeLitre, 8);
    expect(large.gravity).toBeCloseTo(small.gravity, 12);
  });

  test('50 L of alcohol and 50 L of water fill what OIML R 22 says, 3.5 % less than 100 L', () => {
    const pure = { ...rooibosInfusion, extractGramPerLitre: 0, fermentableGramPerLitre: 0 };
    const got = right(
      blend([
        litres('alcohol', { ...pure, alcoholByVolumePercent: 100 }, 50),
        litres('water', pure, 50),
      ]),
    );
    const mass = 50 * 789.2391233 + 50 * 998.203;
    const density = right(ethanolDensity((100 * 50 * 789.2391233) / mass, 20));
    expect(Math.abs(got.volumeLitre - mass / density)).toBeLessThan(1e-3);
    expect(got.contraction).toBeCloseTo(0.0354, 4);
  });

  test('by mass or by volume, cold or warm, the same drink is the same drink', () => {
    const byVolume = right(blend([litres('a', elderberryWine, 10), litres('b', wheatBeer, 30)]));
    const alone = right(blend([litres('a', elderberryWine, 10)]));
    const byMass = right(
      blend([
        {
          ...elderberryWine,
          name: 'a',
          amount: { kind: 'mass', kilogram: alone.massKilogram },
        },
        litres('b', wheatBeer, 30),
      ]),
    );
    expect(byMass.volumeLitre).toBeCloseTo(byVolume.volumeLitre, 9);
    const cold = right(
      blend([
        {
          ...elderberryWine,
          name: 'a',
          amount: { kind: 'volume', litre: 10, atCelsius: 4 },
        },
      ]),
    );
    expect(cold.massKilogram).toBeGreaterThan(alone.massKilogram);
  });

  test('what was not measured is unknown in the blend, and says for whom', () => {
    const got = right(
      blend([
        litres('ale', { ...wheatBeer, titratableAcidGramPerLitre: null }, 10),
        litres('wine', elderberryWine, 5),
        litres('nothing of this', { ...rooibosInfusion, titratableAcidGramPerLitre: null }, 0),
      ]),
    );
    expect(got.titratableAcidGramPerLitre).toEqual({ kind: 'unknown', missing: ['ale'] });
    expect(got.fermentableGramPerLitre.kind).toBe('known');
  });

  test('pH is never worked out: only its range is given', () => {
    const got = right(blend([litres('a', wheatBeer, 1), litres('b', elderberryWine, 1)]));
    expect(got.pHRange).toEqual({ low: 3.5, high: 4.2 });
  });

  test('more fermentable extract than extract is refused, and says of whom', () => {
    expect(blend([litres('odd', { ...wheatBeer, fermentableGramPerLitre: 50 }, 1)])).toMatchObject({
      ok: false,
      fault: { kind: 'outside-range', field: 'odd: fermentableGramPerLitre' },
    });
    expect(blend([])).toMatchObject({ ok: false, fault: { kind: 'no-solution' } });
  });
});

const candidate = (
  name: string,
  composition: Composition,
  costPerLitre: number,
  leastShare = 0,
): BlendCandidate => ({ ...composition, name, leastShare, greatestShare: 1, costPerLitre });

const three = [
  candidate('wheat', wheatBeer, 1, 0.3),
  candidate('elder', elderberryWine, 6),
  candidate('rooibos', rooibosInfusion, 0.3, 0.05),
] as const;

/** All shares on a grid of 2 %, as blends: the plain search that the solver has to beat. */
const grid = (): readonly { readonly shares: readonly number[]; readonly made: Blend }[] => {
  const all = [];
  for (let wheat = 0.3; wheat <= 0.951; wheat += 0.02) {
    for (let rooibos = 0.05; rooibos <= 1 - wheat + 1e-9; rooibos += 0.02) {
      const elder = Math.max(0, 1 - wheat - rooibos);
      const made = right(
        blend([
          litres('wheat', wheatBeer, wheat),
          litres('elder', elderberryWine, elder),
          litres('rooibos', rooibosInfusion, rooibos),
        ]),
      );
      all.push({ shares: [wheat, elder, rooibos], made });
    }
  }
  return all;
};

const depthIn = (made: Blend, targets: readonly BlendTarget[]): number =>
  targets.reduce((least, { property, low, high }) => {
    const at =
      property === 'alcoholByVolumePercent' || property === 'extractGramPerLitre'
        ? made.drink[property]
        : value(made[property]);
    return Math.min(least, 1 - Math.abs(at - (low + high) / 2) / ((high - low) / 2));
  }, 1);

describe('shares of a blend', () => {
  const targets: readonly BlendTarget[] = [
    { property: 'alcoholByVolumePercent', low: 6.5, high: 7 },
    { property: 'extractGramPerLitre', low: 45, high: 55 },
    { property: 'titratableAcidGramPerLitre', low: 2.2, high: 3 },
  ];

  test('shares that were blended are found again when their result is the target', () => {
    fc.assert(
      fc.property(between(0.3, 0.9), between(0, 1), (wheat, split) => {
        const rest = 1 - wheat - 0.05;
        const shares = [wheat, rest * split, 0.05 + rest * (1 - split)];
        const made = right(
          blend(
            [wheatBeer, elderberryWine, rooibosInfusion].map((composition, index) =>
              litres(`c${index}`, composition, shares[index] ?? 0),
            ),
          ),
        );
        const got = right(
          blendShares({
            candidates: three,
            prefer: 'deepest',
            targets: [
              {
                property: 'alcoholByVolumePercent',
                low: made.drink.alcoholByVolumePercent - 0.05,
                high: made.drink.alcoholByVolumePercent + 0.05,
              },
              {
                property: 'extractGramPerLitre',
                low: made.drink.extractGramPerLitre - 0.5,
                high: made.drink.extractGramPerLitre + 0.5,
              },
            ],
          }),
        );
        expect(got.kind).toBe('met');
        expect(got.depth).toBeGreaterThan(0.99);
        expect(got.shares.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 6);
        for (const [index, { share }] of got.shares.entries()) {
          expect(share).toBeGreaterThanOrEqual((three[index]?.leastShare ?? 0) - 1e-7);
        }
      }),
      { numRuns: 40 },
    );
  });

  test('no shares on a grid of 2 % lie deeper inside the windows', () => {
    const got = right(blendShares({ candidates: three, prefer: 'deepest', targets }));
    const tried = grid();
    expect(tried.length).toBeGreaterThan(500);
    expect(got.kind).toBe('met');
    expect(got.depth).toBeCloseTo(depthIn(got.blend, targets), 9);
    for (const { made } of tried) {
      expect(got.depth).toBeGreaterThanOrEqual(depthIn(made, targets) - 1e-6);
    }
  });

  test('the cheapest lies inside every window, and none inside on the grid is cheaper', () => {
    const got = right(blendShares({ candidates: three, prefer: 'cheapest', targets }));
    expect(got.kind).toBe('met');
    let inside = 0;
    for (const { shares, made } of grid()) {
      if (depthIn(made, targets) < 0) continue;
      inside += 1;
      const cost = shares.reduce(
        (sum, share, index) => sum + share * (three[index]?.costPerLitre ?? 0),
        0,
      );
      expect(got.costPerLitre).toBeLessThanOrEqual(cost / made.volumeLitre + 1e-6);
    }
    expect(inside).toBeGreaterThan(10);
  });

  test('where no shares reach, the nearest is named with its misses', () => {
    const got = right(
      blendShares({
        candidates: [
          candidate('wheat', wheatBeer, 1, 0.3),
          candidate('tea', rooibosInfusion, 1, 0.05),
        ],
        prefer: 'deepest',
        targets,
      }),
    );
    expect(got.kind).toBe('nearest');
    expect(got.shares[0]?.share).toBeCloseTo(0.95, 6);
    expect(got.targets[0]?.miss).toBeGreaterThan(1.9);
  });

  test('bounds that cannot add up to the whole are refused in words', () => {
    expect(
      blendShares({
        candidates: [{ ...candidate('wheat', wheatBeer, 1), greatestShare: 0.4 }],
        prefer: 'deepest',
        targets,
      }),
    ).toMatchObject({ ok: false, fault: { kind: 'no-solution', field: 'greatestShare' } });
    expect(
      blendShares({
        candidates: [candidate('ale', { ...wheatBeer, titratableAcidGramPerLitre: null }, 1)],
        prefer: 'deepest',
        targets,
      }),
    ).toMatchObject({ ok: false, fault: { field: 'ale: titratableAcidGramPerLitre' } });
  });
});

describe('scale-up', () => {
  const trial = (changes: Partial<TrialLine> = {}): readonly TrialLine[] => [
    { ...wheatBeer, name: 'wheat', trialMillilitre: 60, availableLitre: 100, ...changes },
    { ...elderberryWine, name: 'elder', trialMillilitre: 25, availableLitre: 100 },
    { ...rooibosInfusion, name: 'rooibos', trialMillilitre: 15, availableLitre: null },
  ];
  const sheet = {
    lines: trial(),
    wantedLitre: 45,
    measureStepLitre: 0.1,
    vesselVolumeLitre: 50,
    headspaceLitre: 2.5,
  };

  test('draws the still ones first, the largest of them first, and the sparkling last', () => {
    expect(right(scaleUp(sheet)).lines.map(({ name }) => name)).toEqual([
      'elder',
      'rooibos',
      'wheat',
    ]);
  });

  test('fills what is wanted to within the measure, in the proportions of the trial', () => {
    const got = right(scaleUp(sheet));
    expect(Math.abs(got.production.volumeLitre - 45)).toBeLessThan(0.15);
    for (const line of got.lines) {
      expect(Math.abs(line.drawLitre - (line.trialMillilitre * got.factor) / 1000)).toBeLessThan(
        0.0501,
      );
    }
    expect(got.lines.at(-1)?.soFarKilogram).toBeCloseTo(got.production.massKilogram, 9);
    expect(
      Math.abs(
        got.production.drink.alcoholByVolumePercent - got.trial.drink.alcoholByVolumePercent,
      ),
    ).toBeLessThan(0.03);
  });

  test('with an exact measure the blend is that of the trial', () => {
    const got = right(scaleUp({ ...sheet, measureStepLitre: 1e-4 }));
    expect(got.production.gravity).toBeCloseTo(got.trial.gravity, 6);
    expect(got.production.volumeLitre).toBeCloseTo(45, 3);
  });

  test('says how much there could be when a component runs short', () => {
    const got = scaleUp({ ...sheet, lines: trial({ availableLitre: 13.5 }) });
    expect(got).toMatchObject({
      ok: false,
      fault: { kind: 'no-solution', field: 'wheat: availableLitre' },
    });
    if (got.ok || got.fault.kind !== 'no-solution') return;
    expect(got.fault.reason).toContain('22.5 L of blend');
  });

  test('does not overfill, and does not round a component away', () => {
    expect(scaleUp({ ...sheet, wantedLitre: 49 })).toMatchObject({
      ok: false,
      fault: { field: 'wantedLitre' },
    });
    expect(scaleUp({ ...sheet, measureStepLitre: 20 })).toMatchObject({
      ok: false,
      fault: { kind: 'no-solution' },
    });
  });
});
