/**
 * Shares of components that bring a blend into its target windows, within bounds on each share.
 *
 * Contents per litre of blend are sums of share x content over the contraction, so for a known contraction
 * this is a linear programme, solved by yalps (MIT; two-phase simplex, typed, 15 kB, no eval; chosen over
 * javascript-lp-solver for a tenth of its size and over WebAssembly builds of larger solvers, which a
 * worker must load before it can answer three components and two targets). The contraction of the answer
 * is put back until it stays (blend.ts; it is below 1 %).
 * What is best: the shares that lie deepest inside every window, depth counted in half-widths of the
 * window: 1 in the middle, 0 on its edge, negative outside. Where no shares reach every window, the least
 * bad miss is returned and named. With costs, the cheapest shares inside all windows.
 * Pure: no I/O, no clock, no randomness.
 */
import { solve } from 'yalps';
import { fail, ok, type Result } from '../result.ts';
import { type Blend, blend, type Component, type Total } from './blend.ts';
import {
  type BlendProperty,
  type BlendTarget,
  faultInTargets,
  type SharesInput,
} from './blend-targets.ts';
import type { ScienceFault } from './fault.ts';

export type TargetOutcome = BlendTarget & {
  readonly value: number;
  /** How far outside its window, 0 inside. */
  readonly miss: number;
};

export type Shares = {
  /** met: inside every window. nearest: no shares reach them all; this is the least bad. */
  readonly kind: 'met' | 'nearest';
  readonly shares: readonly { readonly name: string; readonly share: number }[];
  /** Of the worst target, in half-widths of its window. */
  readonly depth: number;
  readonly costPerLitre: number;
  readonly targets: readonly TargetOutcome[];
  /** One litre drawn in these shares. */
  readonly blend: Blend;
};

/** The simplex works to 1e-8 in scaled variables; a window's edge is met to within this many half-widths. */
const edge = 1e-6;

type Answer = { readonly shares: readonly number[]; readonly depth: number };

/** Solves for one contraction; `least` bounds the depth where the cheapest is asked for. */
const answerFor = (input: SharesInput, kept: number, least: number | null): Answer | null => {
  const constraints = new Map<string, { min?: number; max?: number; equal?: number }>([
    ['all', { equal: 1 }],
  ]);
  const variables = new Map<string, Map<string, number>>();
  input.candidates.forEach((one, index) => {
    constraints.set(`share ${index}`, { min: one.leastShare, max: one.greatestShare });
    variables.set(
      `share ${index}`,
      new Map([
        ['all', 1],
        [`share ${index}`, 1],
        ['cost', one.costPerLitre],
      ]),
    );
  });
  // The depth may be negative and the simplex knows only positive variables: it is their difference.
  const inside = new Map([['depth', 1]]);
  const outsideBy = new Map([['depth', -1]]);
  variables.set('inside', inside);
  variables.set('outside', outsideBy);
  constraints.set('depth', least === null ? { max: 1 } : { min: least, max: 1 });
  input.targets.forEach((target, index) => {
    // Scaled by the window, so that g/L and mg/L weigh alike in the pivots.
    const half = ((target.high - target.low) / 2) * kept;
    for (const [side, sign, bound] of [
      ['low', 1, target.low],
      ['high', -1, target.high],
    ] as const) {
      const key = `${side} ${index}`;
      constraints.set(key, { min: (sign * bound * kept) / half });
      input.candidates.forEach((one, candidate) => {
        variables.get(`share ${candidate}`)?.set(key, (sign * (one[target.property] ?? 0)) / half);
      });
      inside.set(key, -1);
      outsideBy.set(key, 1);
    }
  });
  const solution = solve<string, string>(
    least === null
      ? { direction: 'maximize', objective: 'depth', constraints, variables }
      : { direction: 'minimize', objective: 'cost', constraints, variables },
    { includeZeroVariables: true },
  );
  if (solution.status !== 'optimal') return null;
  const values = new Map(solution.variables);
  return {
    shares: input.candidates.map((_, index) => Math.max(0, values.get(`share ${index}`) ?? 0)),
    depth: (values.get('inside') ?? 0) - (values.get('outside') ?? 0),
  };
};

const contentOf = (made: Blend, property: BlendProperty): number => {
  if (property === 'alcoholByVolumePercent' || property === 'extractGramPerLitre') {
    return made.drink[property];
  }
  const total: Total = made[property];
  return total.kind === 'known' ? total.value : 0;
};

const depthOf = (target: BlendTarget, value: number): number =>
  1 - Math.abs(value - (target.low + target.high) / 2) / ((target.high - target.low) / 2);

/** The shares that meet the targets, or come nearest. */
export const blendShares = (input: SharesInput): Result<Shares, ScienceFault> => {
  const fault = faultInTargets(input);
  if (fault) return fail(fault);
  const unsolved: ScienceFault = {
    kind: 'no-solution',
    field: 'targets',
    reason: 'the solver found no shares; loosen the bounds on the shares',
  };
  let kept = 1;
  let answer: Answer | null = null;
  let made: Blend | null = null;
  // Contraction moves by under 1 % and hardly with the shares: three rounds settle it to 1e-7.
  for (let round = 0; round < 6; round += 1) {
    const deepest = answerFor(input, kept, null);
    if (deepest === null) return fail(unsolved);
    answer =
      input.prefer === 'cheapest'
        ? (answerFor(input, kept, Math.min(0, deepest.depth) - 1e-9) ?? deepest)
        : deepest;
    const whole = answer.shares.reduce((sum, share) => sum + share, 0);
    const components: readonly Component[] = input.candidates.map((one, index) => ({
      ...one,
      amount: { kind: 'volume', litre: (answer?.shares[index] ?? 0) / whole, atCelsius: 20 },
    }));
    const result = blend(components);
    if (!result.ok) return result;
    made = result.value;
    const next = made.volumeLitre;
    if (Math.abs(next - kept) < 1e-9) break;
    kept = next;
  }
  if (answer === null || made === null) return fail(unsolved);
  const settled = made;
  const targets = input.targets.map((target) => {
    const value = contentOf(settled, target.property);
    const miss = Math.max(0, target.low - value, value - target.high);
    return { ...target, value, miss: depthOf(target, value) >= -edge ? 0 : miss };
  });
  const depth = targets.reduce((least, one) => Math.min(least, depthOf(one, one.value)), 1);
  const chosen = answer;
  return ok({
    kind: depth >= -edge ? 'met' : 'nearest',
    shares: input.candidates.map(({ name }, index) => ({
      name,
      share: chosen.shares[index] ?? 0,
    })),
    depth,
    costPerLitre:
      input.candidates.reduce(
        (sum, one, index) => sum + one.costPerLitre * (chosen.shares[index] ?? 0),
        0,
      ) / settled.volumeLitre,
    targets,
    blend: settled,
  });
};
