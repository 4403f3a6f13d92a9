/**
 * One calculation: its form beside its answer, its caution, and how a program asks for the same.
 * Props in, HTML out.
 */
import type { Calculation } from '../calculations/calculation.ts';
import type { Results } from '../calculations/figure.ts';
import { exampleQuery, prose } from '../calculations/shown.ts';
import type { Problem } from '../calculations/typed.ts';
import { calculationWords } from '../messages.ts';
import { Caution } from './alarm-card.tsx';
import { CalculationAnswer } from './calculations-answer.tsx';
import { CalculationForm } from './calculations-form.tsx';
import { fieldId } from './form.tsx';
import { Layout, type Visit } from './layout.tsx';

/** What came of the form: nothing yet, an answer, or what was wrong with it. */
export type Outcome =
  | { readonly kind: 'waiting' }
  | {
      readonly kind: 'answered';
      /** What was asked, as the JSON interface would have it. */
      readonly body: Readonly<Record<string, unknown>>;
      readonly results: Results;
    }
  | { readonly kind: 'refused'; readonly problems: readonly Problem[] };

export type CalculationPageProps = {
  readonly visit: Visit | null;
  readonly calculation: Calculation;
  readonly query: URLSearchParams;
  readonly outcome: Outcome;
};

const Refusals = ({
  form,
  problems,
}: {
  readonly form: string;
  readonly problems: readonly Problem[];
}) => (
  <div class="refused" role="alert">
    <p>
      <strong>{calculationWords.refused(problems.length)}</strong>
    </p>
    <ul>
      {problems.map(({ name, words }) => (
        <li>
          <a href={`#${fieldId(form, name)}`}>{prose(words)}</a>
        </li>
      ))}
    </ul>
  </div>
);

const problemsByName = (outcome: Outcome): Readonly<Record<string, string>> => {
  const byName: Record<string, string> = {};
  if (outcome.kind !== 'refused') return byName;
  for (const { name, words } of outcome.problems) byName[name] ??= words;
  return byName;
};

export const calculationPage = ({ visit, calculation, query, outcome }: CalculationPageProps) => {
  const here = `/calculations/${calculation.name}`;
  return (
    <Layout title={calculation.title} visit={visit} here="calculations">
      <p class="way-back">
        <a class="far-link" href="/calculations">
          {calculationWords.all}
        </a>
      </p>
      <div class="opening sum-opening">
        <h1>{calculation.title}</h1>
        <p class="lead">{prose(calculation.purpose)}</p>
      </div>
      <p class="sum-ways">
        <a class="far-link" href={`${here}?${exampleQuery(calculation.inputs)}#answer`}>
          {calculationWords.example}
        </a>
        {query.size === 0 ? null : (
          <a class="far-link" href={here}>
            {calculationWords.clear}
          </a>
        )}
      </p>
      <div class="sum">
        <CalculationForm
          calculation={calculation}
          query={query}
          problems={problemsByName(outcome)}
        />
        <section class="answer" id="answer" aria-live="polite" aria-labelledby="answer-title">
          <h2 class="answer-title" id="answer-title">
            {calculationWords.answer}
          </h2>
          {outcome.kind === 'waiting' ? <p>{calculationWords.waiting}</p> : null}
          {outcome.kind === 'refused' ? (
            <Refusals form={calculation.name} problems={outcome.problems} />
          ) : null}
          {outcome.kind === 'answered' ? (
            <CalculationAnswer
              calculation={calculation}
              body={outcome.body}
              results={outcome.results}
            />
          ) : null}
          {calculation.caution === undefined ? null : <Caution text={calculation.caution} />}
          <details class="for-programs">
            <summary>{calculationWords.programs}</summary>
            <p>{calculationWords.programsLead}</p>
            <p>
              <code>{`POST /v1${here}`}</code>
            </p>
            <p>
              <a class="far-link" href={`/v1${here}`}>
                {calculationWords.description}
              </a>
            </p>
          </details>
        </section>
      </div>
    </Layout>
  );
};
