/**
 * How belief in terminal gravity is spread for one model. A sharp belief is one normal law about the mode.
 * A wide one is far from normal while the curve is young, so it is walked: at each of a row of terminal gravities
 * the other parameters are fitted again (profile likelihood with Laplace's volume factor: L. Tierney,
 * J. B. Kadane, J. Am. Stat. Assoc. 81 (1986) 82, from memory), out to where belief has faded or the bound stands.
 * Pure: no I/O, no clock, no randomness.
 */
import type { LeastSquaresFit } from '../fit/least-squares.ts';
import type { Bound } from '../fit/problem.ts';
import type { ModeFinder } from './mode.ts';
import type { CurveNode } from './record.ts';

export type TerminalBelief = {
  readonly covariance: readonly number[];
  readonly nodeSd: number;
  readonly nodes: readonly CurveNode[];
};

/** Sharp enough for a normal law: this share of the fall, or about the sensor's own offset. */
const sharpShare = 0.03;
const sharpLeast = 0.0017;
/** Steps of the walk in units of the mode's standard deviation; finer costs time and changes no band by a tenth. */
const stride = 0.7;
const mostSteps = 9;
/** Log belief below which the walk ends: e⁻⁵ of the mode lies far outside a 90 % band. */
const faded = 5;

/** Half the logarithm of the determinant of the covariance without its first row and column. */
const logVolume = (
  covariance: readonly number[],
  size: number,
  held: readonly boolean[],
): number => {
  const free: number[] = [];
  for (let k = 1; k < size; k += 1) if (held[k] !== true) free.push(k);
  const lower: number[][] = [];
  let sum = 0;
  for (const [i, row] of free.entries()) {
    lower.push([]);
    const own = lower[i] as number[];
    for (let j = 0; j <= i; j += 1) {
      let value = covariance[row * size + (free[j] as number)] as number;
      const other = lower[j] as number[];
      for (let k = 0; k < j; k += 1) value -= (own[k] as number) * (other[k] as number);
      if (i === j) {
        own.push(Math.sqrt(Math.max(value, 1e-300)));
        sum += Math.log(own[i] as number);
      } else own.push(value / (other[j] as number));
    }
  }
  return sum;
};

export const terminalBelief = (
  finder: ModeFinder,
  mode: LeastSquaresFit,
  weights: Float64Array,
  bound: Bound,
): TerminalBelief | null => {
  const size = mode.parameters.length;
  const at = mode.parameters[0] as number;
  const fall = mode.parameters[1] as number;
  const sd = mode.standardErrors?.[0] as number;
  const sharp = Math.max(sharpLeast, sharpShare * fall);
  if (mode.held[0] === false && sd <= sharp && mode.covariance !== null) {
    return {
      covariance: mode.covariance,
      nodeSd: 0,
      nodes: [{ share: 1, parameters: mode.parameters }],
    };
  }
  const span = bound.high - bound.low;
  const spacing = Math.min(Math.max(mode.held[0] === true ? 0.003 : stride * sd, 0.0008), span / 8);
  const middle = finder.find(mode.parameters, weights, at);
  if (middle === null || middle.covariance === null) return null;
  const height = logVolume(middle.covariance, size, middle.held);
  const walked = [{ fit: middle, log: 0 }];
  for (const direction of [-1, 1]) {
    let before = middle;
    for (let k = 1; k <= mostSteps; k += 1) {
      const terminal = at + direction * k * spacing;
      if (terminal < bound.low || terminal > bound.high) break;
      const start = [...before.parameters];
      start[0] = terminal;
      start[1] = (before.parameters[1] as number) - direction * spacing;
      const fit = finder.find(start, weights, terminal);
      if (fit === null || fit.covariance === null) break;
      const log =
        (middle.objective - fit.objective) / 2 + logVolume(fit.covariance, size, fit.held) - height;
      walked.push({ fit, log });
      before = fit;
      if (log < -faded) break;
    }
  }
  const highest = Math.max(...walked.map(({ log }) => log));
  let total = 0;
  for (const { log } of walked) total += Math.exp(log - highest);
  const nodes = walked
    .map(({ fit, log }) => ({ share: Math.exp(log - highest) / total, parameters: fit.parameters }))
    .filter(({ share }) => share > 1e-4)
    .sort((a, b) => (a.parameters[0] as number) - (b.parameters[0] as number));
  return { covariance: middle.covariance, nodeSd: spacing / 2, nodes };
};
