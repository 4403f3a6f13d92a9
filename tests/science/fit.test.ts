import fc from 'fast-check';
import { linearRegression } from 'simple-statistics';
import { describe, expect, test } from 'vitest';
import { fitLeastSquares, type LeastSquaresFit } from '../../src/science/fit/least-squares.ts';
import {
  bisquare,
  cost,
  curvatureOf,
  huber,
  type Loss,
  weightOf,
} from '../../src/science/fit/loss.ts';
import type { Evaluate } from '../../src/science/fit/problem.ts';
import { robustSpread } from '../../src/science/fit/spread.ts';

const line =
  (xs: readonly number[]): Evaluate =>
  (b, values, jacobian) => {
    xs.forEach((x, i) => {
      values[i] = (b[0] as number) + (b[1] as number) * x;
      jacobian[i] = 1;
      jacobian[xs.length + i] = x;
    });
  };

const decay =
  (xs: readonly number[]): Evaluate =>
  (b, values, jacobian) => {
    xs.forEach((x, i) => {
      const fade = Math.exp(-(b[1] as number) * x);
      values[i] = (b[0] as number) * fade;
      jacobian[i] = fade;
      jacobian[xs.length + i] = -(b[0] as number) * x * fade;
    });
  };

const constant =
  (count: number): Evaluate =>
  (b, values, jacobian) => {
    values.fill(b[0] as number, 0, count);
    jacobian.fill(1, 0, count);
  };

const solved = (request: Parameters<typeof fitLeastSquares>[0]): LeastSquaresFit => {
  const result = fitLeastSquares(request);
  if (!result.ok) throw new Error(JSON.stringify(result.fault));
  return result.value;
};

/** A fixed scatter of unit size, so that no test depends on a random number. */
const scatter = (i: number): number => Math.sin(12.9898 * (i + 1)) + Math.cos(78.233 * (i + 1));

const xs = Array.from({ length: 40 }, (_, i) => i / 4);

describe('linear problems have a closed form', () => {
  test('line: parameters and standard errors after Seber and Lee, Linear Regression Analysis, section 6.1', () => {
    const ys = xs.map((x, i) => 3 - 0.5 * x + 0.2 * scatter(i));
    const fit = solved({ observations: Float64Array.from(ys), evaluate: line(xs), start: [0, 0] });
    const { m, b } = linearRegression(xs.map((x, i) => [x, ys[i] as number]));
    expect(fit.parameters[0]).toBeCloseTo(b, 10);
    expect(fit.parameters[1]).toBeCloseTo(m, 10);
    const mean = xs.reduce((sum, x) => sum + x, 0) / xs.length;
    const spreadOfX = xs.reduce((sum, x) => sum + (x - mean) ** 2, 0);
    const rss = xs.reduce((sum, x, i) => sum + ((ys[i] as number) - b - m * x) ** 2, 0);
    const variance = rss / (xs.length - 2);
    expect(fit.standardErrors?.[1]).toBeCloseTo(Math.sqrt(variance / spreadOfX), 12);
    expect(fit.standardErrors?.[0]).toBeCloseTo(
      Math.sqrt(variance * (1 / xs.length + mean ** 2 / spreadOfX)),
      12,
    );
    expect(fit.covariance?.[1]).toBeCloseTo((-variance * mean) / spreadOfX, 12);
  });

  test('weights multiply squared residuals: 0 and 10 weighted 1 and 3 average to 7.5', () => {
    const fit = solved({
      observations: Float64Array.of(0, 10),
      evaluate: constant(2),
      weights: Float64Array.of(1, 3),
      start: [4],
    });
    expect(fit.parameters[0]).toBeCloseTo(7.5, 12);
  });

  test('a prior is an observation: the mean of normal knowledge is weighted by inverse variance', () => {
    const fit = solved({
      observations: Float64Array.of(10, 12),
      evaluate: constant(2),
      start: [0],
      noise: { kind: 'known', sd: 2 },
      priors: [{ coefficients: [1], value: 5, sd: 1 }],
    });
    expect(fit.parameters[0]).toBeCloseTo((10 / 4 + 12 / 4 + 5) / (1 / 4 + 1 / 4 + 1), 12);
    expect(fit.standardErrors?.[0]).toBeCloseTo(Math.sqrt(1 / 1.5), 12);
  });
});

test('with a prior and an unknown noise, the noise is found from the residuals', () => {
  const ys = xs.map((x, i) => 5 * Math.exp(-0.3 * x) + 0.05 * scatter(i));
  const request = { observations: Float64Array.from(ys), evaluate: decay(xs), start: [4, 0.2] };
  const free = solved(request);
  // A prior far wider than the standard error changes nothing; one far sharper decides.
  const wide = solved({ ...request, priors: [{ coefficients: [0, 1], value: 0.5, sd: 100 }] });
  expect(wide.parameters[1]).toBeCloseTo(free.parameters[1] as number, 6);
  expect(wide.noiseSd / free.noiseSd).toBeGreaterThan(0.95);
  expect(wide.noiseSd / free.noiseSd).toBeLessThan(1.05);
  const sharp = solved({ ...request, priors: [{ coefficients: [0, 1], value: 0.31, sd: 1e-6 }] });
  expect(sharp.parameters[1]).toBeCloseTo(0.31, 5);
  expect(sharp.standardErrors?.[1]).toBeCloseTo(1e-6, 8);
});

describe('identities', () => {
  test('an integer weight equals a repeated observation', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 1, max: 4 }), { minLength: 12, maxLength: 12 }),
        (repeats) => {
          const at = xs.slice(0, 12);
          const ys = at.map((x, i) => 5 * Math.exp(-0.3 * x) + 0.05 * scatter(i));
          const weighted = solved({
            observations: Float64Array.from(ys),
            evaluate: decay(at),
            weights: Float64Array.from(repeats),
            start: [4, 0.2],
          });
          const longAt = at.flatMap((x, i) =>
            Array.from({ length: repeats[i] as number }, () => x),
          );
          const longYs = ys.flatMap((y, i) =>
            Array.from({ length: repeats[i] as number }, () => y),
          );
          const repeated = solved({
            observations: Float64Array.from(longYs),
            evaluate: decay(longAt),
            start: [4, 0.2],
          });
          expect(weighted.parameters[0]).toBeCloseTo(repeated.parameters[0] as number, 7);
          expect(weighted.parameters[1]).toBeCloseTo(repeated.parameters[1] as number, 7);
          expect(weighted.residualSumOfSquares).toBeCloseTo(repeated.residualSumOfSquares, 10);
        },
      ),
    );
  });

  test('scaling observations scales amplitude, its error and the noise, with every loss', () => {
    for (const loss of [{ kind: 'squares' }, huber, bisquare] satisfies Loss[]) {
      fc.assert(
        fc.property(fc.double({ min: 1e-6, max: 1e6, noNaN: true }), (factor) => {
          const ys = xs.map((x, i) => 5 * Math.exp(-0.3 * x) + 0.05 * scatter(i));
          const one = solved({
            observations: Float64Array.from(ys),
            evaluate: decay(xs),
            start: [4, 0.2],
            loss,
          });
          const many = solved({
            observations: Float64Array.from(ys, (y) => factor * y),
            evaluate: decay(xs),
            start: [4 * factor, 0.2],
            loss,
          });
          const ratio = (found: number | undefined, from: number | undefined): number =>
            (found ?? Number.NaN) / (from ?? Number.NaN);
          expect(ratio(many.parameters[0], one.parameters[0]) / factor).toBeCloseTo(1, 6);
          expect(ratio(many.parameters[1], one.parameters[1])).toBeCloseTo(1, 6);
          expect(ratio(many.standardErrors?.[0], one.standardErrors?.[0]) / factor).toBeCloseTo(
            1,
            5,
          );
          expect(many.noiseSd / one.noiseSd / factor).toBeCloseTo(1, 5);
        }),
        { numRuns: 30 },
      );
    }
  });

  test('the answer is the same twice, to the last bit', () => {
    const ys = Float64Array.from(xs, (x, i) => 5 * Math.exp(-0.3 * x) + 0.05 * scatter(i));
    const run = () =>
      solved({ observations: ys, evaluate: decay(xs), start: [4, 0.2], loss: bisquare });
    expect(run()).toEqual(run());
  });

  test('at the minimum the gradient of the loss is zero, with every loss and a prior', () => {
    for (const loss of [{ kind: 'squares' }, huber, bisquare] satisfies Loss[]) {
      const ys = xs.map(
        (x, i) => 5 * Math.exp(-0.3 * x) + 0.05 * scatter(i) + (i % 9 === 0 ? 1 : 0),
      );
      const noise = 0.1;
      const fit = solved({
        observations: Float64Array.from(ys),
        evaluate: decay(xs),
        start: [4, 0.2],
        loss,
        noise: { kind: 'known', sd: noise },
        priors: [{ coefficients: [0, 1], value: 0.25, sd: 0.01 }],
      });
      const total = (a: number, k: number): number =>
        xs.reduce(
          (sum, x, i) => sum + cost(loss, ((ys[i] as number) - a * Math.exp(-k * x)) / noise),
          0,
        ) +
        ((k - 0.25) / 0.01) ** 2;
      const [a, k] = fit.parameters as [number, number];
      for (const [da, dk] of [
        [1e-3, 0],
        [-1e-3, 0],
        [0, 1e-4],
        [0, -1e-4],
      ] as const) {
        expect(total(a + da, k + dk)).toBeGreaterThan(total(a, k));
      }
    }
  });
});

describe('bounds', () => {
  const ys = Float64Array.from(xs, (x, i) => 5 * Math.exp(-0.3 * x) + 0.05 * scatter(i));

  test('a bound beyond the minimum changes nothing', () => {
    const open = solved({ observations: ys, evaluate: decay(xs), start: [4, 0.2] });
    const boxed = solved({
      observations: ys,
      evaluate: decay(xs),
      start: [4, 0.2],
      bounds: [
        { low: 0, high: 100 },
        { low: 0, high: 10 },
      ],
    });
    expect(boxed.parameters[0]).toBeCloseTo(open.parameters[0] as number, 8);
    expect(boxed.parameters[1]).toBeCloseTo(open.parameters[1] as number, 8);
    expect(boxed.held).toEqual([false, false]);
  });

  test('a bound before the minimum is kept, and the rest is the best there', () => {
    const boxed = solved({
      observations: ys,
      evaluate: decay(xs),
      start: [4, 0.2],
      bounds: [
        { low: 0, high: 100 },
        { low: 0, high: 0.25 },
      ],
    });
    expect(boxed.parameters[1]).toBe(0.25);
    expect(boxed.held).toEqual([false, true]);
    // With the rate fixed the amplitude is a linear regression through the origin.
    let above = 0;
    let below = 0;
    xs.forEach((x, i) => {
      const fade = Math.exp(-0.25 * x);
      above += fade * (ys[i] as number);
      below += fade * fade;
    });
    expect(boxed.parameters[0]).toBeCloseTo(above / below, 8);
  });
});

describe('robust loss', () => {
  test('a tenth of the readings far off moves the answer by less than its standard error', () => {
    for (const loss of [huber, bisquare]) {
      const clean = xs.map((x, i) => 5 * Math.exp(-0.3 * x) + 0.05 * scatter(i));
      const foul = clean.map((y, i) => (i % 10 === 3 ? y + 4 : y));
      const from = solved({
        observations: Float64Array.from(clean),
        evaluate: decay(xs),
        start: [4, 0.2],
      });
      const fit = solved({
        observations: Float64Array.from(foul),
        evaluate: decay(xs),
        start: [4, 0.2],
        loss,
      });
      const plain = solved({
        observations: Float64Array.from(foul),
        evaluate: decay(xs),
        start: [4, 0.2],
      });
      for (const k of [0, 1]) {
        const error = from.standardErrors?.[k] ?? Number.NaN;
        const want = from.parameters[k] as number;
        expect(Math.abs((fit.parameters[k] as number) - want)).toBeLessThan(
          error * (loss === huber ? 2 : 1),
        );
        expect(Math.abs((plain.parameters[k] as number) - want)).toBeGreaterThan(4 * error);
      }
    }
  });

  test('weight and curvature are the derivatives of the cost', () => {
    for (const loss of [huber, bisquare]) {
      for (let u = -6.03; u < 6; u += 0.1) {
        const h = 1e-5;
        const first = (cost(loss, u + h) - cost(loss, u - h)) / (4 * h);
        expect(weightOf(loss, u) * u).toBeCloseTo(first, 7);
        const second =
          (weightOf(loss, u + h) * (u + h) - weightOf(loss, u - h) * (u - h)) / (2 * h);
        expect(curvatureOf(loss, u)).toBeCloseTo(second, 5);
      }
    }
  });

  test('the spread of the numbers 1 to 101 about zero is 1.4826 times their median', () => {
    const numbers = Float64Array.from({ length: 101 }, (_, i) => (i % 2 ? -1 : 1) * (101 - i));
    expect(robustSpread(numbers, 101)).toBeCloseTo(51 * 1.4826022185, 8);
    expect(robustSpread(Float64Array.of(1, -3, 9), 2)).toBeCloseTo(2 * 1.4826022185, 8);
    expect(robustSpread(Float64Array.of(-2, 30), 1)).toBeCloseTo(2 * 1.4826022185, 8);
    expect(robustSpread(new Float64Array(0), 0)).toBe(0);
  });
});

describe('faults say what was wrong', () => {
  const ys = Float64Array.from(xs, (x) => 5 * Math.exp(-0.3 * x));

  test('not a number', () => {
    expect(
      fitLeastSquares({
        observations: Float64Array.of(1, Number.NaN),
        evaluate: line([0, 1]),
        start: [0, 0],
      }),
    ).toEqual({ ok: false, fault: { kind: 'bad-input', field: 'observations', value: null } });
    expect(
      fitLeastSquares({
        observations: ys,
        evaluate: decay(xs),
        start: [1, 1],
        weights: new Float64Array(40).fill(-1),
      }),
    ).toEqual({ ok: false, fault: { kind: 'bad-input', field: 'weights', value: -1 } });
  });

  test('options out of sense', () => {
    const request = { observations: ys, evaluate: decay(xs), start: [1, 1] };
    const field = (more: Partial<Parameters<typeof fitLeastSquares>[0]>): string | null => {
      const result = fitLeastSquares({ ...request, ...more });
      return !result.ok && result.fault.kind === 'bad-input' ? result.fault.field : null;
    };
    const prior = { coefficients: [0, 1], value: 0, sd: 1 };
    expect(field({ start: [1, Number.POSITIVE_INFINITY] })).toBe('start');
    expect(field({ weights: new Float64Array(3).fill(1) })).toBe('weights.length');
    expect(field({ priors: [{ ...prior, sd: 0 }] })).toBe('priors.sd');
    expect(field({ priors: [{ ...prior, value: Number.NaN }] })).toBe('priors.value');
    expect(field({ priors: [{ ...prior, coefficients: [1] }] })).toBe('priors.coefficients.length');
    expect(field({ priors: [{ ...prior, coefficients: [Number.NaN, 1] }] })).toBe(
      'priors.coefficients',
    );
    expect(field({ bounds: [{ low: 1, high: 2 }] })).toBe('bounds.length');
    expect(
      field({
        bounds: [
          { low: 2, high: 1 },
          { low: 0, high: 1 },
        ],
      }),
    ).toBe('bounds.low');
    expect(field({ noise: { kind: 'known', sd: Number.NaN } })).toBe('noise.sd');
    expect(field({ loss: { kind: 'huber', tuning: 0 } })).toBe('loss.tuning');
  });

  test('fewer observations than parameters need; zero weight does not count', () => {
    const result = fitLeastSquares({
      observations: Float64Array.of(1, 2, 3),
      evaluate: line([0, 1, 2]),
      weights: Float64Array.of(1, 1, 0),
      start: [0, 0],
    });
    expect(result).toEqual({
      ok: false,
      fault: { kind: 'too-few-observations', observations: 2, parameters: 2 },
    });
  });

  test('a start at which the model has no value', () => {
    expect(fitLeastSquares({ observations: ys, evaluate: decay(xs), start: [1, -1e6] })).toEqual({
      ok: false,
      fault: { kind: 'bad-start', start: [1, -1e6] },
    });
  });

  test('out of iterations', () => {
    const result = fitLeastSquares({
      observations: ys,
      evaluate: decay(xs),
      start: [50, 3],
      tolerance: { iterations: 2 },
    });
    expect(result.ok ? null : result.fault.kind).toBe('not-converged');
  });

  test('parameters that cannot be told apart have no covariance', () => {
    const twice: Evaluate = (b, values, jacobian) => {
      xs.forEach((_, i) => {
        values[i] = (b[0] as number) + (b[1] as number);
        jacobian[i] = 1;
        jacobian[xs.length + i] = 1;
      });
    };
    const fit = solved({ observations: Float64Array.from(xs), evaluate: twice, start: [0, 1] });
    expect(fit.covariance).toBeNull();
    expect(fit.standardErrors).toBeNull();
    expect((fit.parameters[0] as number) + (fit.parameters[1] as number)).toBeCloseTo(4.875, 9);
  });
});
