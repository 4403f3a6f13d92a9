/** How the alarms of a cellar do, each figure beside what the standards are quoted with. Props in, HTML out. */
import type { AlarmFigures, Figure } from '../../monitoring/alarms/alarm-figures.ts';
import type { Vessel } from '../../monitoring/vessel.ts';
import { duration } from '../../monitoring/words/spoken.ts';
import { alarmsWords, alarmWords, figuresWords } from '../messages.ts';
import { Layout, type Visit } from './layout.tsx';
import { Moment } from './moment.tsx';
import { numberText } from './quantity.ts';

export type FiguresPageProps = Visit & {
  readonly figures: AlarmFigures;
  /** Alarms that stand in the whole cellar, for the masthead. */
  readonly standing: number;
  readonly vessels: readonly Pick<Vessel, 'vessel' | 'title'>[];
};

const countText = (value: number): string => numberText(value, 0);
const rateText = (value: number): string => numberText(value, 1);
const shareText = (value: number): string => `${numberText(100 * value, 1)}\u00a0%`;

const isAbove = ({ value, references }: Figure): boolean =>
  value !== null && references.some(({ most }) => most !== null && value > most);

const Line = ({
  name,
  figure,
  text,
}: {
  readonly name: string;
  readonly figure: Figure;
  readonly text: (value: number) => string;
}) => (
  <tr>
    <th scope="row">{name}</th>
    <td>
      {figure.value === null ? '\u2013' : text(figure.value)}
      {isAbove(figure) ? <strong>{`, ${figuresWords.above}`}</strong> : null}
    </td>
    <td>
      {figure.references.length === 0
        ? figuresWords.noReference
        : figure.references
            .map(({ words, source, known }) => `${words} (${source}, ${known})`)
            .join('; ')}
    </td>
  </tr>
);

const Named = ({
  title,
  alarms,
  called,
}: {
  readonly title: string;
  readonly alarms: AlarmFigures['stale']['alarms'];
  readonly called: (vessel: string) => string;
}) =>
  alarms.length === 0 ? null : (
    <section class="past">
      <h2>{title}</h2>
      <ul>
        {alarms.map(({ vessel, kind, since }) => (
          <li>
            {`${called(vessel)}: ${alarmWords[kind]}, ${figuresWords.since.toLowerCase()} `}
            <Moment at={since} />
          </li>
        ))}
      </ul>
    </section>
  );

export const figuresPage = ({ figures, standing, vessels, ...visit }: FiguresPageProps) => {
  const root = `/cellars/${visit.cellar.cellar}`;
  const titles = new Map(vessels.map(({ vessel, title }) => [vessel, title]));
  const called = (vessel: string): string => titles.get(vessel) ?? vessel;
  const { priorities } = figures;
  return (
    <Layout
      title={`${figuresWords.title}, ${visit.cellar.title}`}
      visit={visit}
      here="alarms"
      standing={standing}
      now={figures.to}
    >
      <div class="opening">
        <h1>{figuresWords.title}</h1>
        <p class="as-of">
          {`${figuresWords.from} `}
          <Moment at={figures.from} />
          {` ${figuresWords.to} `}
          <Moment at={figures.to} />
        </p>
      </div>
      <p>{figuresWords.lead}</p>
      <section class="scroller" aria-label={figuresWords.title} tabindex={0}>
        <table class="history figures">
          <thead>
            <tr>
              <th scope="col">{figuresWords.figure}</th>
              <th scope="col">{figuresWords.value}</th>
              <th scope="col">{figuresWords.reference}</th>
            </tr>
          </thead>
          <tbody>
            <Line name={figuresWords.alarmsPerDay} figure={figures.alarmsPerDay} text={rateText} />
            <Line
              name={figuresWords.mostInTenMinutes}
              figure={figures.mostInTenMinutes}
              text={countText}
            />
            <Line
              name={figuresWords.shareOfTimeInFlood}
              figure={figures.shareOfTimeInFlood}
              text={shareText}
            />
            <Line name={figuresWords.topTenShare} figure={figures.topTenShare} text={shareText} />
            <Line name={figuresWords.highShare} figure={priorities.high} text={shareText} />
            <Line name={figuresWords.mediumShare} figure={priorities.medium} text={shareText} />
            <Line name={figuresWords.lowShare} figure={priorities.low} text={shareText} />
            <Line name={figuresWords.stale} figure={figures.stale} text={countText} />
            <Line name={figuresWords.chattering} figure={figures.chattering} text={countText} />
            <Line
              name={figuresWords.meanSecondsToAcknowledge}
              figure={figures.meanSecondsToAcknowledge}
              text={duration}
            />
          </tbody>
        </table>
      </section>
      <p class="hint">{figuresWords.reservation}</p>
      {figures.topTenShare.alarms.length === 0 ? null : (
        <section class="past">
          <h2>{figuresWords.frequent}</h2>
          <table class="history">
            <thead>
              <tr>
                <th scope="col">{alarmsWords.vessel}</th>
                <th scope="col">{alarmsWords.title}</th>
                <th scope="col">{figuresWords.times}</th>
                <th scope="col">{figuresWords.share}</th>
              </tr>
            </thead>
            <tbody>
              {figures.topTenShare.alarms.map(({ vessel, kind, count, share }) => (
                <tr>
                  <td>{called(vessel)}</td>
                  <td>{alarmWords[kind]}</td>
                  <td>{countText(count)}</td>
                  <td>{shareText(share)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </section>
      )}
      <Named title={figuresWords.stale} alarms={figures.stale.alarms} called={called} />
      <Named title={figuresWords.chattering} alarms={figures.chattering.alarms} called={called} />
      <p>
        <a href={`${root}/alarms`}>{figuresWords.back}</a>
      </p>
    </Layout>
  );
};
