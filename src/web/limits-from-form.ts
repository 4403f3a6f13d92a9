/**
 * The limits of one stage as a person typed them, checked in the unit they were typed in. A blank
 * field leaves the limit to its default; a ticked box stops the watching of it.
 */
import type { Stage } from '../monitoring/batch.ts';
import { type LimitTemplate, stageTemplates } from '../monitoring/stages/stage-templates.ts';
import { duration } from '../monitoring/words/spoken.ts';
import { type FieldFault, Refusal } from './fault.ts';
import type { Typed } from './form-body.ts';
import { limitUnit, typedLimit } from './limit-unit.ts';
import { limitFormWords } from './messages.ts';
import { quote } from './quote.ts';

/** The field that is ticked where a limit is not to be watched. */
export const offField = (limit: string): string => `${limit}-off`;

/** Within what a batch may set the limit, in the unit in which it is typed. */
export const limitBounds = (template: LimitTemplate): string => {
  const { lowest, highest } = template;
  if (template.unit === 's') return limitFormWords.bounds(duration(lowest), duration(highest));
  const unit = limitUnit(template);
  return limitFormWords.bounds(
    typedLimit(lowest, unit),
    `${typedLimit(highest, unit)} ${unit.words}`,
  );
};

/** Whole seconds of a time; twelve digits of the rest, which undoes what binary fractions add. */
const stored = (text: string, template: LimitTemplate): number => {
  const value = Number(text.replace(',', '.')) * limitUnit(template).factor;
  return template.unit === 's' ? Math.round(value) : Number(value.toPrecision(12));
};

/**
 * The limits that are set, by name.
 * @throws Refusal naming each field that is no number or out of its bounds
 */
export const limitsFromForm = (
  stage: Stage,
  typed: Typed,
): Readonly<Record<string, number | null>> => {
  const own: Record<string, number | null> = {};
  const faults: FieldFault[] = [];
  const templates: Readonly<Record<string, LimitTemplate>> = stageTemplates[stage];
  for (const [limit, template] of Object.entries(templates)) {
    if (template.canBeOff && typed[offField(limit)] !== undefined) {
      own[limit] = null;
      continue;
    }
    const text = typed[limit]?.trim() ?? '';
    if (text === '') continue;
    const value = stored(text, template);
    if (Number.isFinite(value) && value >= template.lowest && value <= template.highest)
      own[limit] = value;
    else
      faults.push({
        field: limit,
        detail: `must be a number ${limitBounds(template)} (found ${quote(text)})`,
      });
  }
  if (faults.length > 0) throw new Refusal({ kind: 'fields', fields: faults });
  return own;
};
