/** The shares of components that bring a blend into its windows. */
import { ok, type Result } from '../../result.ts';
import { blend } from '../../science/blend.ts';
import { blendShares } from '../../science/blend-shares.ts';
import {
  type BlendCandidate,
  type BlendProperty,
  type BlendTarget,
  blendProperties,
} from '../../science/blend-targets.ts';
import type { ScienceFault } from '../../science/fault.ts';
import { blendFigures, figuresOf } from './blend-figures.ts';
import { calculation } from './calculation.ts';
import {
  componentName,
  compositionFields,
  compositionOf,
  elderberryWine,
  faultInNames,
  placesOfRows,
  rooibosInfusion,
  wheatBeer,
} from './composition-fields.ts';
import { percent } from './drink-fields.ts';
import { choice, given, preset, rows } from './field.ts';
import { located, type Place } from './located.ts';
import { linearProgramme, massBalance } from './source.ts';

const propertyWords = {
  alcoholByVolumePercent: 'alcohol, % vol',
  extractGramPerLitre: 'real extract, g/L',
  fermentableGramPerLitre: 'fermentable extract, g/L',
  titratableAcidGramPerLitre: 'titratable acid, g/L',
  freeSulphurDioxideMilligramPerLitre: 'free sulphur dioxide, mg/L',
  carbonDioxideGramPerLitre: 'carbon dioxide, g/L',
} as const satisfies Record<BlendProperty, string>;

const { volumeLitre, massKilogram, ...contents } = blendFigures;

const isProperty = (name: string): name is BlendProperty =>
  blendProperties.some((property) => property === name);

/** A fault of a target bears the name of its property; the body has that at one of its edges. */
const targetOf = (targets: readonly BlendTarget[], fault: ScienceFault): string => {
  if (!isProperty(fault.field)) return fault.field;
  const value = fault.kind === 'outside-range' ? fault.value : null;
  const of = (target: BlendTarget): boolean =>
    target.property === fault.field &&
    (value === null || target.low === value || target.high === value);
  const at = targets.findIndex(of);
  if (at < 0) return 'targets';
  return `targets.${at}.${targets[at]?.low === value ? 'low' : 'high'}`;
};

const oneLitre = { kind: 'volume', litre: 1, atCelsius: 20 } as const;

/** What is wrong with a candidate by itself: the solver would only say that it found no shares. */
const faultAlone = (candidates: readonly BlendCandidate[]): Result<never, ScienceFault> | null => {
  for (const candidate of candidates) {
    const alone = blend([{ ...candidate, amount: oneLitre }]);
    if (!alone.ok) return alone;
  }
  return null;
};

export const sharesOfBlend = calculation({
  name: 'blend-shares',
  title: 'Shares of a blend',
  purpose: 'In which shares to draw components so that the blend meets its targets.',
  inputs: {
    targets: rows({
      label: 'Targets',
      each: 'Target',
      hint: 'The lowest and the highest allowed. Leave a row blank if there is none.',
      least: 1,
      most: 6,
      offered: 3,
      fields: {
        property: choice({ label: 'What', options: propertyWords }),
        low: given({ label: 'Lowest', unit: '', example: 6.5 }),
        high: given({ label: 'Highest', unit: '', example: 7 }),
      },
      example: [
        { property: 'alcoholByVolumePercent', low: 6.5, high: 7 },
        { property: 'extractGramPerLitre', low: 45, high: 55 },
        { property: 'titratableAcidGramPerLitre', low: 2.2, high: 3 },
      ],
    }),
    candidates: rows({
      label: 'Components',
      each: 'Component',
      hint: 'A property that is aimed at must be known of every one.',
      least: 1,
      most: 12,
      offered: 4,
      fields: {
        name: componentName,
        ...compositionFields,
        leastShare: preset(0, { label: 'Least share', ...percent, seldom: true }),
        greatestShare: preset(1, { label: 'Greatest share', ...percent, seldom: true }),
        costPerLitre: preset(0, {
          label: 'Cost of a litre',
          unit: '',
          hint: 'In any money, the same for all.',
          seldom: true,
        }),
      },
      example: [
        { ...wheatBeer, leastShare: 0.3, costPerLitre: 1 },
        { ...elderberryWine, costPerLitre: 6 },
        { ...rooibosInfusion, leastShare: 0.05, costPerLitre: 0.3 },
      ],
    }),
    prefer: choice({
      label: 'Prefer',
      options: {
        deepest: 'the shares farthest from every limit',
        cheapest: 'the cheapest within the limits',
      },
    }),
  },
  answers: {
    verdict: {
      kind: 'verdict',
      label: 'Outcome',
      verdicts: {
        met: { title: 'Every target is met', rank: 'plain' },
        nearest: { title: 'No shares meet every target', rank: 'medium' },
      },
      sources: [linearProgramme],
    },
    shares: {
      kind: 'table',
      label: 'Shares of the volume drawn',
      columns: {
        name: { kind: 'name', label: 'Component' },
        share: { kind: 'number', label: 'Share', ...percent, decimals: 1 },
      },
      sources: [linearProgramme, massBalance],
    },
    targets: {
      kind: 'table',
      label: 'Targets',
      columns: {
        property: { kind: 'name', label: 'What' },
        low: { kind: 'number', label: 'Lowest', unit: '', decimals: 2 },
        value: { kind: 'number', label: 'Comes to', unit: '', decimals: 2 },
        high: { kind: 'number', label: 'Highest', unit: '', decimals: 2 },
      },
      sources: [linearProgramme, massBalance],
    },
    costPerLitre: {
      kind: 'number',
      label: 'Cost of a litre of blend',
      unit: '',
      decimals: 2,
      sources: [massBalance],
    },
    ...contents,
  },
  work: ({ candidates, targets, prefer }) => {
    const names = candidates.map(({ name }) => name);
    const alike = faultInNames('candidates', names);
    if (alike !== null) return alike;
    const named = candidates.map((row) => ({
      ...compositionOf(row),
      name: row.name,
      leastShare: row.leastShare,
      greatestShare: row.greatestShare,
      costPerLitre: row.costPerLitre,
    }));
    const found = faultAlone(named) ?? blendShares({ candidates: named, targets, prefer });
    if (!found.ok) {
      const others: Record<string, Place> = {
        [found.fault.field]: targetOf(targets, found.fault),
        leastShare: 'candidates',
        greatestShare: 'candidates',
      };
      return located(found, placesOfRows('candidates', names, found.fault, others));
    }
    const { kind, shares, depth, targets: outcomes, costPerLitre, blend: made } = found.value;
    const missed = outcomes.filter(({ miss }) => miss > 0);
    const { volumeLitre: _litre, massKilogram: _kilogram, ...held } = figuresOf(made);
    return ok({
      verdict: {
        kind,
        words:
          kind === 'met'
            ? `The tightest of them stands ${Math.max(0, Math.round(100 * depth))} % of the way from its limit to the middle of its window.`
            : `These come nearest; missed: ${missed.map((one) => `${propertyWords[one.property]} by ${Number(one.miss.toPrecision(2))}`).join('; ')}.`,
      },
      shares,
      targets: outcomes.map(({ property, low, value, high }) => ({
        property: propertyWords[property],
        low,
        value,
        high,
      })),
      costPerLitre,
      ...held,
    });
  },
});
