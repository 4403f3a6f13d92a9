/**
 * The answer of a calculation: the verdict, then each figure as a line that opens to what it rests on, then
 * its tables and sentences. Props in, HTML out.
 */
import type { Calculation } from '../calculations/calculation.ts';
import type { Column, Figure, Results, TableRow, Verdict } from '../calculations/figure.ts';
import { figureText, figureUnit, figureWithUnit, prose } from '../calculations/shown.ts';
import type { Source } from '../calculations/source.ts';
import { calculationWords } from '../messages.ts';
import { AlarmSign, PlainSign } from './sign.tsx';

const Sources = ({ sources }: { readonly sources: readonly Source[] }) => (
  <ul class="sources">
    {sources.map(({ source, holds }) => (
      <li>
        {prose(source)}
        <span>{prose(holds)}</span>
      </li>
    ))}
  </ul>
);

/** What a verdict, a table or a list rests on, behind its own title. */
const RestsOn = ({ figure }: { readonly figure: Figure }) => (
  <details class="rests-on">
    <summary>
      {calculationWords.source}
      <span class="unseen">{`: ${figure.label}`}</span>
    </summary>
    <Sources sources={figure.sources} />
  </details>
);

const VerdictBlock = ({
  figure,
  verdict,
}: {
  readonly figure: Extract<Figure, { kind: 'verdict' }>;
  readonly verdict: Verdict;
}) => {
  const { title, rank } = figure.verdicts[verdict.kind] ?? { title: figure.label, rank: 'plain' };
  return (
    <div class={`verdict ${rank === 'plain' ? 'verdict-plain' : `rank-${rank}`}`}>
      <div class="verdict-sign">
        {rank === 'plain' ? (
          <PlainSign kind="well" />
        ) : (
          <AlarmSign alarm={{ priority: rank, state: 'unacknowledged' }} />
        )}
      </div>
      <div class="verdict-words">
        <h3>{title}</h3>
        <p>{prose(verdict.words)}</p>
        <RestsOn figure={figure} />
      </div>
    </div>
  );
};

type NumberFigure = Extract<Figure, { kind: 'number' }>;

const FigureLine = ({
  figure,
  value,
  main,
}: {
  readonly figure: NumberFigure;
  readonly value: number | null;
  readonly main: boolean;
}) => (
  <details class={main ? 'figure-line figure-line-main' : 'figure-line'}>
    <summary>
      <span class="figure-name">{prose(figure.label)}</span>
      {value === null ? (
        <span class="figure-none">{prose(figure.none ?? '')}</span>
      ) : main ? (
        <span class="figure">
          {figureText(value, figure, figure.decimals)}
          <span class="unit">{`\u00a0${figureUnit(figure)}`}</span>
        </span>
      ) : (
        <span class="figure-value">{figureWithUnit(value, figure, figure.decimals)}</span>
      )}
    </summary>
    <Sources sources={figure.sources} />
  </details>
);

const headOf = (column: Column): string => {
  const unit = column.kind === 'number' ? figureUnit(column) : '';
  return unit === '' ? column.label : `${column.label}, ${unit}`;
};

const Table = ({
  figure,
  lines,
}: {
  readonly figure: Extract<Figure, { kind: 'table' }>;
  readonly lines: readonly TableRow[];
}) => {
  const columns = Object.entries(figure.columns);
  return (
    <div class="answer-table">
      <section class="scroller" aria-label={figure.label} tabindex={0}>
        <table>
          <caption>{figure.label}</caption>
          <thead>
            <tr>
              {columns.map(([, column]) => (
                <th scope="col" class={column.kind === 'number' ? 'number' : undefined}>
                  {headOf(column)}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {lines.map((line) => (
              <tr>
                {columns.map(([name, column]) => {
                  const cell = line[name] ?? '';
                  return column.kind === 'number' && typeof cell === 'number' ? (
                    <td class="number">{figureText(cell, column, column.decimals)}</td>
                  ) : (
                    <td>{cell}</td>
                  );
                })}
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      <RestsOn figure={figure} />
    </div>
  );
};

const Sentences = ({
  figure,
  items,
}: {
  readonly figure: Figure;
  readonly items: readonly string[];
}) =>
  items.length === 0 ? null : (
    <div class="answer-words">
      <h3>{figure.label}</h3>
      <ul>
        {items.map((item) => (
          <li>{prose(item)}</li>
        ))}
      </ul>
    </div>
  );

type Shown = { readonly figure: Figure; readonly value: Results[string] };

const BeforeFigures = ({ figure, value }: Shown) => {
  if (figure.kind === 'verdict' && value !== null)
    return <VerdictBlock figure={figure} verdict={value as Verdict} />;
  if (figure.kind === 'table')
    return <Table figure={figure} lines={value as readonly TableRow[]} />;
  return null;
};

const AfterFigures = ({ figure, value }: Shown) => {
  if (figure.kind === 'sentence')
    return <Sentences figure={figure} items={value === null ? [] : [String(value)]} />;
  return figure.kind === 'sentences' ? (
    <Sentences figure={figure} items={value as readonly string[]} />
  ) : null;
};

export const CalculationAnswer = ({
  calculation,
  body,
  results,
}: {
  readonly calculation: Calculation;
  readonly body: Readonly<Record<string, unknown>>;
  readonly results: Results;
}) => {
  const shown: readonly Shown[] = Object.entries(calculation.answers).map(([name, figure]) => ({
    figure,
    value: results[name] ?? null,
  }));
  /** A verdict that was not asked for leaves its pressures out too. */
  const isUnjudged = shown.some(({ figure, value }) => figure.kind === 'verdict' && value === null);
  const isMeant = (figure: NumberFigure): boolean =>
    figure.needs === undefined || (body[figure.needs] ?? null) !== null;
  const numbers = shown.flatMap(({ figure, value }) =>
    figure.kind === 'number' &&
    (typeof value === 'number' || (value === null && !isUnjudged && isMeant(figure)))
      ? [{ figure, value }]
      : [],
  );
  const hasLead = shown.some(
    ({ figure, value }) => figure.kind === 'table' || (figure.kind === 'verdict' && value !== null),
  );
  const main = hasLead ? undefined : numbers.find(({ value }) => value !== null);
  return (
    <>
      {shown.map((one) => (
        <BeforeFigures {...one} />
      ))}
      {numbers.length === 0 ? null : (
        <div class="figure-lines">
          <p class="hint">{calculationWords.openFigure}</p>
          {numbers.map(({ figure, value }) => (
            <FigureLine figure={figure} value={value} main={figure === main?.figure} />
          ))}
        </div>
      )}
      {shown.map((one) => (
        <AfterFigures {...one} />
      ))}
    </>
  );
};
