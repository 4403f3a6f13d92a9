import { readdirSync, readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { fitLeastSquares } from '../../src/science/fit/least-squares.ts';
import type { Evaluate } from '../../src/science/fit/problem.ts';
import { strdModels } from './fit-strd.ts';

/*
 * NIST Statistical Reference Datasets, nonlinear regression (fixtures/strd/README.md).
 * Least digits measured over all problems and both starts: parameters 7.3 (MGH09, whose minimum is flat to the
 * last digit of a double), standard errors 7.4 (MGH09), sum of squares 10.4 (BoxBOD; certified to 11 digits).
 */
type Strd = {
  readonly name: string;
  readonly x: readonly number[];
  readonly y: readonly number[];
  readonly start1: readonly number[];
  readonly start2: readonly number[];
  readonly certified: readonly number[];
  readonly certified_se: readonly number[];
  readonly rss: number;
  readonly rsd: number;
};

const folder = new URL('../../fixtures/strd/', import.meta.url);
const problems = readdirSync(folder)
  .filter((name) => name.endsWith('.json'))
  .map((name) => JSON.parse(readFileSync(new URL(name, folder), 'utf8')) as Strd);

/** Correct digits: minus the logarithm of the relative error, as NIST counts them. */
const digits = (found: number, certified: number): number =>
  found === certified ? 16 : -Math.log10(Math.abs(found - certified) / Math.abs(certified));

const leastDigits = (found: readonly number[], certified: readonly number[]): number => {
  expect(found).toHaveLength(certified.length);
  return Math.min(...certified.map((value, k) => digits(found[k] ?? Number.NaN, value)));
};

const evaluateFor = (problem: Strd): Evaluate => {
  const model = strdModels[problem.name];
  if (model === undefined) throw new Error(`no model for ${problem.name}`);
  const slopes: number[] = [];
  return (parameters, values, jacobian) => {
    problem.x.forEach((x, i) => {
      values[i] = model.at(x, parameters, slopes);
      for (let k = 0; k < model.parameters; k += 1) {
        jacobian[k * problem.x.length + i] = slopes[k] as number;
      }
    });
  };
};

test('every problem of the exam is there', () => {
  expect(problems.map(({ name }) => name).sort()).toEqual(Object.keys(strdModels).sort());
  expect(problems).toHaveLength(12);
});

test('the derivatives of the exam models agree with central differences', () => {
  let compared = 0;
  for (const problem of problems) {
    const model = strdModels[problem.name];
    if (model === undefined) throw new Error(`no model for ${problem.name}`);
    for (let k = 0; k < model.parameters; k += 1) {
      const h = 1e-5 * Math.abs(problem.certified[k] as number);
      const moved = (by: number) =>
        Float64Array.from(problem.certified, (value, j) => (j === k ? value + by : value));
      const pairs = problem.x.map((x) => {
        const slopes: number[] = [];
        model.at(x, Float64Array.from(problem.certified), slopes);
        const difference = (model.at(x, moved(h), []) - model.at(x, moved(-h), [])) / (2 * h);
        return { slope: slopes[k] as number, difference };
      });
      const largest = Math.max(...pairs.map(({ slope }) => Math.abs(slope)));
      for (const { slope, difference } of pairs) {
        // Worst measured 4.7e-7, Eckerle4's centre: the step is a thousandth of the peak's width.
        expect(Math.abs(slope - difference) / largest).toBeLessThan(1e-6);
        compared += 1;
      }
    }
  }
  expect(compared).toBe(
    problems.reduce((sum, { x, certified }) => sum + x.length * certified.length, 0),
  );
});

for (const problem of problems) {
  for (const start of ['start1', 'start2'] as const) {
    test(`${problem.name} is solved from its ${start}`, () => {
      const result = fitLeastSquares({
        observations: Float64Array.from(problem.y),
        evaluate: evaluateFor(problem),
        start: problem[start],
      });
      if (!result.ok) throw new Error(JSON.stringify(result.fault));
      const fit = result.value;
      expect(leastDigits(fit.parameters, problem.certified)).toBeGreaterThanOrEqual(6);
      expect(leastDigits(fit.standardErrors ?? [], problem.certified_se)).toBeGreaterThanOrEqual(4);
      expect(digits(fit.residualSumOfSquares, problem.rss)).toBeGreaterThanOrEqual(8);
      expect(digits(fit.noiseSd, problem.rsd)).toBeGreaterThanOrEqual(8);
      expect(fit.degreesOfFreedom).toBe(problem.y.length - problem.certified.length);
    });
  }
}
