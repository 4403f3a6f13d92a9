import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  curveModels,
  parameterCount,
  placeOf,
  type Standing,
  standAt,
} from '../../src/science/attenuation/curve-models.ts';
import { type CurveFit, fitCurve } from '../../src/science/attenuation/fit-curve.ts';
import { gravityRows } from '../../src/science/attenuation/gravity-rows.ts';
import { fitLeastSquares } from '../../src/science/fit/least-squares.ts';

const standing = (model: (typeof curveModels)[number], x: number, shape: number): Standing => {
  const into: Standing = { left: 0, byX: 0, byShape: 0 };
  standAt(model, x, shape, into);
  return into;
};

describe('the curves', () => {
  test('derivatives agree with central differences, for every model and parameter', () => {
    const times = Float64Array.from({ length: 60 }, (_, i) => 0.2 * i);
    let compared = 0;
    for (const model of curveModels) {
      const evaluate = gravityRows(model, times, [times.map(() => 1), times]);
      const size = parameterCount[model] + 2;
      for (const shape of [0.05, 0.5, 1.5]) {
        const at = Float64Array.from([
          1.01,
          0.045,
          2.03,
          -0.4,
          ...(parameterCount[model] === 5 ? [shape] : []),
          0.001,
          0.0001,
        ]);
        const values = new Float64Array(60);
        const slopes = new Float64Array(60 * size);
        evaluate(at, values, slopes);
        for (let k = 0; k < size; k += 1) {
          const h = 1e-6;
          const moved = (by: number): Float64Array => {
            const into = new Float64Array(60);
            evaluate(
              at.map((value, j) => (j === k ? value + by : value)),
              into,
              new Float64Array(60 * size),
            );
            return into;
          };
          const up = moved(h);
          const down = moved(-h);
          for (let i = 0; i < 60; i += 1) {
            const difference = ((up[i] as number) - (down[i] as number)) / (2 * h);
            // Worst measured 1.1e-10, roundings of gravities near 1 over the step.
            expect(Math.abs(difference - (slopes[k * 60 + i] as number))).toBeLessThan(1e-9);
            compared += 1;
          }
        }
      }
    }
    expect(compared).toBe(3 * 60 * (6 + 7 + 7));
  });

  test('the share left falls from 1 to 0, and its place is its inverse', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...curveModels),
        fc.double({ min: 0, max: 2, noNaN: true }),
        fc.double({ min: -300, max: 300, noNaN: true }),
        fc.double({ min: 0, max: 10, noNaN: true }),
        fc.double({ min: 1e-6, max: 0.999, noNaN: true }),
        (model, shape, x, step, share) => {
          const here = standing(model, x, shape);
          const later = standing(model, x + step, shape);
          expect(here.left).toBeGreaterThanOrEqual(0);
          expect(here.left).toBeLessThanOrEqual(1);
          expect(later.left).toBeLessThanOrEqual(here.left);
          for (const value of Object.values(here)) expect(Number.isFinite(value)).toBe(true);
          const back = standing(model, placeOf(model, share, shape), shape).left;
          expect(back / share).toBeCloseTo(1, 9);
        },
      ),
    );
    for (const model of curveModels) {
      expect(standing(model, -700, 0.3).left).toBeCloseTo(1, 12);
      expect(standing(model, 700, 0.3).left).toBeCloseTo(0, 12);
    }
  });

  test('each asymmetric curve contains its special case: the logistic, and the exponential', () => {
    for (let x = -8; x <= 8; x += 0.37) {
      expect(standing('generalised-logistic', x, 0).left).toBeCloseTo(1 / (1 + Math.exp(x)), 14);
      expect(standing('lagged', x, 0).left).toBeCloseTo(x > 0 ? Math.exp(-x) : 1, 14);
    }
  });
});

/*
 * Sugar of agave juice, ten samples over 72 h, three fermentations and their mean: Valle et al., BEER 2024
 * (fixtures/published/agave_fermentation_*). Parameters, standard errors and sums of squares of the four-parameter
 * logistic as SciPy's MINPACK finds them (agave_logistic_fit_computed.json), printed to 16 digits.
 */
describe('published fermentations', () => {
  type Published = {
    readonly series: number | 'mean';
    readonly Pe: number;
    readonly Pi: number;
    readonly B: number;
    readonly M: number;
    readonly se: readonly [number, number, number, number];
    readonly rss: number;
  };
  const folder = new URL('../../fixtures/published/', import.meta.url);
  const rows = readFileSync(
    new URL('agave_fermentation_glucose_fructose_ethanol.csv', folder),
    'utf8',
  )
    .replace('\ufeff', '')
    .trim()
    .split('\n')
    .map((line) => line.split(',').map(Number));
  const published = JSON.parse(
    readFileSync(new URL('agave_logistic_fit_computed.json', folder), 'utf8'),
  ) as { readonly fits: readonly Published[] };
  const hours = Float64Array.from(rows, (row) => row[0] as number);
  const sugarOf = (series: number | 'mean'): Float64Array =>
    Float64Array.from(rows, (row) => {
      const each = [0, 1, 2].map((k) => (row[4 + k] as number) + (row[7 + k] as number));
      const [a, b, c] = each as [number, number, number];
      return series === 'mean' ? (a + b + c) / 3 : (each[series] as number);
    });
  const solved = (result: ReturnType<typeof fitCurve>): CurveFit => {
    if (!result.ok) throw new Error(JSON.stringify(result.fault));
    return result.value;
  };

  test('all four series are there', () => {
    expect(published.fits.map(({ series }) => series)).toEqual([0, 1, 2, 'mean']);
    expect(hours).toHaveLength(10);
  });

  for (const { series, Pe, Pi, B, M, se, rss } of published.fits) {
    test(`agave series ${series} has its published logistic, without start values`, () => {
      const fit = solved(fitCurve('logistic', hours, sugarOf(series)));
      const pairs: readonly (readonly [number | null, number])[] = [
        [fit.terminal.value, Pe],
        [fit.initial.value, Pi],
        [fit.rate.value, B],
        [fit.place.value, M],
        [fit.terminal.standardError, se[0]],
        [fit.initial.standardError, se[1]],
        [fit.rate.standardError, se[2]],
        [fit.place.standardError, se[3]],
        [fit.residualSumOfSquares, rss],
      ];
      // Worst measured 6e-8: both searches stop about there.
      for (const [found, want] of pairs) {
        expect(Math.abs((found ?? Number.NaN) / want - 1)).toBeLessThan(1e-6);
      }
    });
  }

  test('the models that contain it never fit worse than the logistic, and AICc prefers asymmetry in the mean', () => {
    for (const { series, rss } of published.fits) {
      const fit = solved(fitCurve('generalised-logistic', hours, sugarOf(series)));
      expect(fit.residualSumOfSquares).toBeLessThanOrEqual(rss * (1 + 1e-9));
    }
    const mean = sugarOf('mean');
    const aicc = (model: (typeof curveModels)[number]): number =>
      solved(fitCurve(model, hours, mean)).aicc ?? Number.NaN;
    expect(aicc('generalised-logistic')).toBeLessThan(aicc('logistic'));
  });

  test('hours or days: rates and places follow the unit, gravities do not', () => {
    const sugar = sugarOf('mean');
    for (const model of curveModels) {
      const inHours = solved(fitCurve(model, hours, sugar));
      const inDays = solved(
        fitCurve(
          model,
          hours.map((hour) => hour / 24),
          sugar,
        ),
      );
      expect(inDays.rate.value / inHours.rate.value).toBeCloseTo(24, 4);
      expect(inHours.place.value / inDays.place.value).toBeCloseTo(24, 4);
      expect(inDays.terminal.value).toBeCloseTo(inHours.terminal.value, 4);
      expect(inDays.residualSumOfSquares).toBeCloseTo(inHours.residualSumOfSquares, 6);
    }
  });

  test('the certified rising logistic of NIST (Rat42) is the same curve upside down', () => {
    const rat = JSON.parse(
      readFileSync(new URL('../../fixtures/strd/Rat42.json', import.meta.url), 'utf8'),
    ) as {
      readonly x: readonly number[];
      readonly y: readonly number[];
      readonly certified: readonly [number, number, number];
      readonly rss: number;
    };
    const [height, shift, rate] = rat.certified;
    // b1 / (1 + exp(b2 − b3·x)) is b1 less a falling logistic of height b1: terminal and fall add to zero.
    const result = fitLeastSquares({
      observations: Float64Array.from(rat.y),
      evaluate: gravityRows('logistic', Float64Array.from(rat.x)),
      start: [75, -75, 40, Math.log(0.07)],
      priors: [{ coefficients: [1, 1, 0, 0], value: 0, sd: 1e-9 }],
      noise: { kind: 'known', sd: 1 },
    });
    if (!result.ok) throw new Error(JSON.stringify(result.fault));
    const [terminal, fall, place, lnRate] = result.value.parameters as [
      number,
      number,
      number,
      number,
    ];
    expect(terminal / height).toBeCloseTo(1, 8);
    expect(fall / -height).toBeCloseTo(1, 8);
    expect(place / (shift / rate)).toBeCloseTo(1, 8);
    expect(Math.exp(lnRate) / rate).toBeCloseTo(1, 8);
    expect(result.value.residualSumOfSquares / rat.rss).toBeCloseTo(1, 8);
  });

  test('faults of a single curve', () => {
    const sugar = sugarOf(0);
    expect(fitCurve('lagged', hours.slice(0, 5), sugar.slice(0, 5))).toEqual({
      ok: false,
      fault: { kind: 'too-few-observations', observations: 5, parameters: 5 },
    });
    expect(fitCurve('logistic', hours, sugar.slice(0, 5))).toEqual({
      ok: false,
      fault: { kind: 'lengths-differ', times: 10, values: 5 },
    });
    const rising = fitCurve('logistic', hours, sugar.slice().reverse());
    expect(rising.ok ? null : rising.fault.kind).toBe('not-falling');
    expect(fitCurve('logistic', hours, sugar.with(3, Number.NaN))).toEqual({
      ok: false,
      fault: { kind: 'bad-input', field: 'observations', value: null },
    });
  });
});
