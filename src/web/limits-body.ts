/**
 * What a batch may set of its own limits: one member for each stage, checked against the bounds of the table of
 * stages, so that a limit that guards people can be made stricter and never laxer.
 */
import * as z from 'zod';
import { type Stage, stages } from '../monitoring/batch.ts';
import type { OwnLimits } from '../monitoring/stages/limits.ts';
import { type LimitTemplate, stageTemplates } from '../monitoring/stages/stage-templates.ts';

const limit = ({ lowest, highest, unit, canBeOff }: LimitTemplate) => {
  const words = `must be between ${lowest} and ${highest} ${unit}`;
  const value = z.number().min(lowest, words).max(highest, words);
  return (canBeOff ? value.nullable() : value).optional();
};

/** Names of the lower ends of bands; each has an upper end of the same name. */
const lowerEnds = ['lowCelsius', 'lowGaugePressurePascal'] as const;

const ofStage = (stage: Stage) => {
  const templates: Readonly<Record<string, LimitTemplate>> = stageTemplates[stage];
  const shape = Object.fromEntries(
    Object.entries(templates).map(([name, template]) => [name, limit(template)]),
  );
  return z.strictObject(shape).superRefine((own, context) => {
    for (const low of lowerEnds) {
      const high = low.replace('low', 'high');
      const below = own[low] ?? templates[low]?.value ?? null;
      const above = own[high] ?? templates[high]?.value ?? null;
      // One end of a temperature band alone would be watched by nothing.
      if (low === 'lowCelsius' && (below === null) !== (above === null)) {
        context.addIssue({
          code: 'custom',
          path: [below === null ? low : high],
          message: 'must be given as well: a band has two ends',
        });
      }
      if (below !== null && above !== null && below >= above) {
        context.addIssue({ code: 'custom', path: [low], message: `must be below ${high}` });
      }
    }
  });
};

const shape = Object.fromEntries(stages.map((stage) => [stage, ofStage(stage).optional()]));

/** The shape is made from the table, which the type checker cannot follow; the table's own type says the same. */
export const limitsBody = z.strictObject(shape) as unknown as z.ZodType<OwnLimits, unknown>;
