/**
 * The limits of a batch in one of its stages: each with its default, who says so and the bounds
 * within which it can be set. Props in, HTML out.
 */
import { type Batch, type Stage, stages } from '../../monitoring/batch.ts';
import {
  type AnyLimitName,
  type LimitTemplate,
  stageTemplates,
} from '../../monitoring/stages/stage-templates.ts';
import { limitUnit, typedLimit } from '../limit-unit.ts';
import { limitBounds, offField } from '../limits-from-form.ts';
import { limitFormWords, limitWords, stageWords, vesselWords } from '../messages.ts';
import { CheckField, PostForm, type Refused, SelectField, TextField } from './form.tsx';
import { Layout, type Visit } from './layout.tsx';

export type LimitsPageProps = Visit & {
  readonly batch: Batch;
  readonly vessel: string;
  readonly stage: Stage;
  readonly refused?: Refused | undefined;
};

/** What holds where the field is left blank. */
const defaultWords = ({ drink }: Batch, template: LimitTemplate): string => {
  const byDrink = template.byDrink?.[drink];
  const value = byDrink === undefined ? template.value : byDrink;
  const unit = limitUnit(template);
  return value === null
    ? limitFormWords.notWatched
    : limitFormWords.default(typedLimit(value, unit), unit.words);
};

const Limit = ({
  batch,
  name,
  template,
  own,
  refused,
}: {
  readonly batch: Batch;
  readonly name: AnyLimitName;
  readonly template: LimitTemplate;
  readonly own: number | null | undefined;
  readonly refused: Refused;
}) => {
  const unit = limitUnit(template);
  const off = offField(name);
  const typedBefore = Object.keys(refused.values).length > 0;
  return (
    <div class="limit">
      <TextField
        form="limits"
        name={name}
        decimal
        label={limitFormWords.label(limitWords[name], unit.words)}
        hint={limitFormWords.hint(
          defaultWords(batch, template),
          template.source,
          limitBounds(template),
        )}
        refused={
          typedBefore
            ? refused
            : {
                ...refused,
                values: typeof own === 'number' ? { [name]: typedLimit(own, unit) } : {},
              }
        }
      />
      {template.canBeOff ? (
        <CheckField
          form="limits"
          name={off}
          value="yes"
          label={limitFormWords.off}
          checked={typedBefore ? refused.values[off] !== undefined : own === null}
        />
      ) : null}
    </div>
  );
};

export const limitsPage = ({ batch, vessel, stage, refused, ...visit }: LimitsPageProps) => {
  const root = `/cellars/${visit.cellar.cellar}`;
  const here = `${root}/batches/${batch.batch}/limits`;
  const title = limitFormWords.title(batch.title);
  const templates: Readonly<Record<string, LimitTemplate>> = stageTemplates[stage];
  const own = (batch.limits?.[stage] ?? {}) as Readonly<Record<string, number | null>>;
  return (
    <Layout title={`${title}, ${visit.cellar.title}`} visit={visit}>
      <h1>{title}</h1>
      <form method="get" action={here} class="inline-form">
        <SelectField
          form="stage"
          name="stage"
          label={vesselWords.stage}
          chosen={stage}
          options={stages.map((each) => ({ value: each, words: stageWords[each] }))}
        />
        <button type="submit" class="second">
          {limitFormWords.showStage}
        </button>
      </form>
      <section id="limits">
        <h2>{limitFormWords.ofStage(stageWords[stage])}</h2>
        <p class="hint">{limitFormWords.lead}</p>
        <PostForm action={`${here}?stage=${stage}`} class="grid-form">
          {Object.entries(templates).map(([name, template]) => (
            <Limit
              batch={batch}
              name={name as AnyLimitName}
              template={template}
              own={own[name]}
              refused={refused ?? { problems: {}, values: {} }}
            />
          ))}
          <div class="whole-row">
            <button type="submit">{limitFormWords.save}</button>
          </div>
        </PostForm>
      </section>
      <p>
        <a href={`${root}/vessels/${vessel}`}>{limitFormWords.back}</a>
      </p>
    </Layout>
  );
};
