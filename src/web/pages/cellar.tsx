/**
 * The cellar at a glance: one sentence on whether anybody is needed, then the vessels in order of
 * need. The margin holds a sign only where a person should look. Props in, HTML out.
 */
import type { Alarm } from '../../monitoring/alarms/alarm.ts';
import { asks, isShown } from '../../monitoring/alarms/alarm-standing.ts';
import type { Vessel } from '../../monitoring/vessel.ts';
import { asSentence } from '../../monitoring/words/sentence.ts';
import type { Absence } from '../../storage/absence.ts';
import type { Role } from '../../storage/access.ts';
import type { ChartReadings } from '../chart-data.ts';
import { alarmStateWords, alarmWords, cellarWords, priorityWords } from '../messages.ts';
import { arrival } from './arrival.ts';
import { Away, absenceToTell } from './away.tsx';
import { Beside, Figure } from './figure.tsx';
import { type CellarRow, headline } from './headline.ts';
import { holding } from './holding.ts';
import { Layout, type Visit } from './layout.tsx';
import { Age, Moment, wholeMinute } from './moment.tsx';
import { AlarmSign, PlainSign } from './sign.tsx';
import { Trend } from './trend.tsx';
import { inOrderOfNeed, needOf, type StandingAlarm, standingOf } from './urgency.ts';

/** A vessel with its recent readings, about two days in some fifty steps, where they are at hand. */
type CellarPageRow = CellarRow & {
  readonly trend?: ChartReadings | null | undefined;
  readonly absence?: Absence | null | undefined;
};

export type CellarPageProps = Visit & {
  readonly rows: readonly CellarPageRow[];
  readonly standingAlarms: readonly StandingAlarm[];
  /** Unix seconds. */
  readonly now: number;
};

/** The sign stands in the margin already where there is only one alarm. */
const AlarmLine = ({
  alarm,
  vessel,
  signed,
  now,
}: {
  readonly alarm: Alarm;
  readonly vessel: Vessel;
  readonly signed: boolean;
  readonly now: number;
}) => (
  <li class={`alarm-line rank-${alarm.priority}`} {...arrival(alarm, vessel)}>
    {signed ? <AlarmSign alarm={alarm} /> : null}
    <p>
      <strong>{alarmWords[alarm.kind]}</strong>
      <span class="alarm-standing">
        <b>{priorityWords[alarm.priority]}</b>
        {`, ${alarmStateWords[alarm.state]}, `}
        <Age at={alarm.raisedAt} now={now} />
      </span>
      <span class="alarm-evidence">{asSentence(alarm.evidence)}</span>
    </p>
  </li>
);

const Row = ({
  row,
  root,
  now,
}: {
  readonly row: CellarPageRow;
  readonly root: string;
  readonly now: number;
}) => {
  const need = needOf(row);
  const number = headline(row);
  const standing = standingOf(row);
  const sign = need === 'ready' ? 'ready' : need === 'empty' ? 'empty' : 'well';
  return (
    <li
      class={`row row-${need}${standing[0] === undefined ? '' : ` rank-${standing[0].priority}`}`}
      id={`vessel-${row.vessel.vessel}`}
    >
      <div class="row-sign">
        {standing[0] === undefined ? <PlainSign kind={sign} /> : <AlarmSign alarm={standing[0]} />}
      </div>
      <div class="row-name">
        <h3>
          <a href={`${root}/vessels/${row.vessel.vessel}`}>{row.vessel.title}</a>
        </h3>
        <p class="listed">
          {holding(row, now).map((part) => (
            <span>{part}</span>
          ))}
        </p>
        {need === 'ready' ? <p class="ready-words">{cellarWords.finished}</p> : null}
      </div>
      {number === null ? (
        <p class="row-number row-unread">{cellarWords.noReading}</p>
      ) : (
        <>
          <div class="row-number">
            <Figure number={number} now={now} />
          </div>
          <div class="row-along">
            <Beside number={number} />
          </div>
          {row.trend === null || row.trend === undefined ? null : (
            <Trend readings={row.trend} channel={number.channel} />
          )}
        </>
      )}
      {standing.length === 0 ? null : (
        <ul class="row-alarms">
          {standing.map((alarm) => (
            <AlarmLine alarm={alarm} vessel={row.vessel} signed={standing.length > 1} now={now} />
          ))}
        </ul>
      )}
    </li>
  );
};

const FirstRun = ({ root, role }: { readonly root: string; readonly role: Role }) => (
  <section class="first-run">
    <h1>{cellarWords.firstTitle}</h1>
    <p class="lead">{cellarWords.firstLead}</p>
    <ol class="steps">
      {cellarWords.firstSteps.map((step) => (
        <li>
          <h2>{step.title}</h2>
          <p>{step.text}</p>
        </li>
      ))}
    </ol>
    {role === 'keeper' ? (
      <p>
        <a class="button" href={`${root}/set-up`}>
          {cellarWords.firstGo}
        </a>
      </p>
    ) : (
      <p>{cellarWords.firstViewer}</p>
    )}
  </section>
);

export const cellarPage = ({ rows, standingAlarms, now, ...visit }: CellarPageProps) => {
  const root = `/cellars/${visit.cellar.cellar}`;
  const groups = inOrderOfNeed(rows);
  const needing = groups.find((group) => group.need === 'needs')?.rows ?? [];
  const atOnce = needing.filter((row) =>
    standingOf(row).some((alarm) => alarm.priority === 'high' && alarm.state === 'unacknowledged'),
  );
  const shown = standingAlarms.filter(({ state }) => isShown(state));
  const inHand = shown.filter(({ state }) => !asks(state));
  const summary = cellarWords.summary({
    now: atOnce.length,
    needs: needing.length,
    inHand: inHand.length,
  });
  return (
    <Layout
      title={rows.length === 0 ? visit.cellar.title : `${summary} ${visit.cellar.title}`}
      visit={visit}
      here="cellar"
      standing={shown.length}
      live={root}
      now={now}
    >
      {rows.length === 0 ? (
        <FirstRun root={root} role={visit.role} />
      ) : (
        <>
          <div class="opening">
            <h1>{summary}</h1>
            <p class="as-of">
              {`${cellarWords.asOf} `}
              <Moment at={wholeMinute(now)} />
            </p>
          </div>
          <Away
            absence={absenceToTell(
              rows.map((row) => row.absence),
              now,
            )}
          />
          {groups.map((group) => (
            <section class={`group group-${group.need}`} id={`group-${group.need}`}>
              <h2>
                {cellarWords[group.need]} <span class="count">{group.rows.length}</span>
              </h2>
              <ul class="rows">
                {(group.rows as readonly CellarPageRow[]).map((row) => (
                  <Row row={row} root={root} now={now} />
                ))}
              </ul>
            </section>
          ))}
        </>
      )}
    </Layout>
  );
};
