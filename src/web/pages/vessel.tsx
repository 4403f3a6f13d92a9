/**
 * One vessel: what is in it, what stands against it, the one number, its course on a chart, what is
 * known and how, its latest readings, the forms that move its batch on, its past. Props in, HTML out.
 */
import type { AlarmChange } from '../../monitoring/alarms/alarm.ts';
import type { Batch } from '../../monitoring/batch.ts';
import type { Status } from '../../monitoring/status.ts';
import type { Vessel } from '../../monitoring/vessel.ts';
import type { Happening } from '../../monitoring/watched.ts';
import type { Channel } from '../../science/units/channel.ts';
import type { Absence } from '../../storage/absence.ts';
import { alarmsWords, cellarWords, chartWords, vesselKindWords, vesselWords } from '../messages.ts';
import { AlarmCard, Caution } from './alarm-card.tsx';
import { Away, absenceToTell } from './away.tsx';
import { FermentationFacts, PressureFacts } from './facts.tsx';
import { Beside, Figure } from './figure.tsx';
import { HandSamples } from './hand-samples.tsx';
import { headline } from './headline.ts';
import { type HistoryLine, HistoryTable } from './history-table.tsx';
import { holding } from './holding.ts';
import { Layout, type Visit } from './layout.tsx';
import { Moment } from './moment.tsx';
import { MoveOn } from './move-on.tsx';
import { barText, litreText } from './quantity.ts';
import { ReadingsTable } from './readings-table.tsx';
import { StageFacts } from './stage-facts.tsx';
import { standingOf } from './urgency.ts';

export type VesselPageProps = Visit & {
  readonly vessel: Vessel;
  readonly batch: Batch | null;
  readonly status: Status;
  /** Newest first. */
  readonly changes: readonly AlarmChange[];
  readonly happenings: readonly Happening[];
  /** When Gyleward itself was last away; null if it never was. */
  readonly absence?: Absence | null | undefined;
  /** Alarms that stand in the whole cellar, for the masthead; null where that was not asked. */
  readonly standing?: number | null | undefined;
  /** Unix seconds. */
  readonly now: number;
};

const Nameplate = ({ vessel }: { readonly vessel: Vessel }) => (
  <p class="listed nameplate">
    <span>{vesselKindWords[vessel.kind]}</span>
    {vessel.kind === 'room' ? null : (
      <>
        <span>
          {vesselWords.holds(litreText(vessel.volumeLitre), litreText(vessel.headspaceLitre))}
        </span>
        <span>
          {vessel.ratedGaugePressurePascal === null
            ? vesselWords.unrated
            : vesselWords.rated(barText(vessel.ratedGaugePressurePascal))}
        </span>
        {vessel.reliefGaugePressurePascal === null ? null : (
          <span>{vesselWords.relief(barText(vessel.reliefGaugePressurePascal))}</span>
        )}
        {vessel.gasConnected ? <span>{vesselWords.gas}</span> : null}
      </>
    )}
  </p>
);

/** The panel of the number that matters comes first. */
const Chart = ({
  source,
  first,
}: {
  readonly source: string;
  readonly first: Channel | undefined;
}) => (
  <section class="chart" id="chart" aria-labelledby="chart-title">
    <h2 id="chart-title">{chartWords.title}</h2>
    <div id="course" data-chart={source} data-first={first} data-keep>
      <p class="chart-state">{chartWords.loading}</p>
    </div>
    <noscript>
      <p>{chartWords.noScript}</p>
    </noscript>
  </section>
);

const historyOf = (
  changes: readonly AlarmChange[],
  happenings: readonly Happening[],
): readonly HistoryLine[] =>
  [
    ...changes.map((change) => ({ at: change.at, line: { kind: 'alarm', ...change } as const })),
    ...happenings.map((happening) => ({
      at: happening.at,
      line: { kind: 'happening', happening } as const,
    })),
  ]
    .toSorted((one, other) => other.at - one.at)
    .map((dated) => dated.line);

export const vesselPage = ({
  vessel,
  batch,
  status,
  changes,
  happenings,
  absence,
  standing,
  now,
  ...visit
}: VesselPageProps) => {
  const root = `/cellars/${visit.cellar.cellar}`;
  const here = `${root}/vessels/${vessel.vessel}`;
  const row = { vessel, batch, status };
  const number = headline(row);
  const alarms = standingOf(row);
  const history = historyOf(changes, happenings);
  /** A caution that a card carries already is not said twice. */
  const cautions = status.cautions.filter(
    (caution) => !alarms.some((alarm) => alarm.caution === caution),
  );
  const staged = status.clocks.length > 0 || status.limits.length > 0;
  const facts = status.fermentation !== null || status.pressure !== null || staged;
  const acts = visit.role === 'operator' || visit.role === 'keeper';
  const hasReadings = Object.keys(status.latest).length > 0;
  return (
    <Layout
      title={`${vessel.title}, ${visit.cellar.title}`}
      visit={visit}
      standing={standing}
      live={here}
      now={now}
      chart={hasReadings}
    >
      <div class="opening vessel-opening">
        <div>
          <h1>{vessel.title}</h1>
          <p class="listed holds">
            {holding(row, now).map((part) => (
              <span>{part}</span>
            ))}
            {batch === null ? null : (
              <span>
                {`${vesselWords.since} `}
                <Moment at={batch.startedAt} />
              </span>
            )}
          </p>
          <Nameplate vessel={vessel} />
        </div>
        {number === null ? (
          <p class="row-unread">{cellarWords.noReading}</p>
        ) : (
          <div class="big-number" id="big-number">
            <Figure number={number} now={now} />
            <Beside number={number} />
          </div>
        )}
      </div>
      <Away absence={absenceToTell([absence], now)} />
      {alarms.length === 0 ? null : (
        <section class="cards" id="standing" aria-labelledby="standing-title">
          <h2 id="standing-title" class="unseen">
            {vesselWords.standing}
          </h2>
          {alarms.map((alarm) => (
            <AlarmCard alarm={alarm} vessel={vessel} visit={visit} now={now} />
          ))}
        </section>
      )}
      {status.setAside.length === 0 ? null : (
        <section class="cards" id="set-aside" aria-labelledby="set-aside-title">
          <h2 id="set-aside-title">{alarmsWords.setAside}</h2>
          {status.setAside.map((alarm) => (
            <AlarmCard alarm={alarm} vessel={vessel} visit={visit} now={now} />
          ))}
        </section>
      )}
      {cautions.length === 0 ? null : (
        <section class="cautions" id="cautions" aria-label={vesselWords.cautions}>
          {cautions.map((caution) => (
            <Caution text={caution} />
          ))}
        </section>
      )}
      {hasReadings ? <Chart source={`${here}/chart.json`} first={number?.channel} /> : null}
      <div class="columns">
        {facts ? (
          <section id="present">
            <h2>{vesselWords.present}</h2>
            {status.fermentation === null ? null : (
              <FermentationFacts status={status.fermentation} />
            )}
            {status.pressure === null ? null : <PressureFacts status={status.pressure} />}
            {staged ? (
              <StageFacts
                status={status}
                now={now}
                change={batch !== null && acts ? `${root}/batches/${batch.batch}/limits` : null}
              />
            ) : null}
          </section>
        ) : null}
        <div class={facts ? 'stacked' : 'beside-each-other'}>
          {hasReadings ? (
            <section id="readings">
              <h2>{vesselWords.readings}</h2>
              <ReadingsTable status={status} now={now} />
            </section>
          ) : null}
          {batch !== null && acts ? <MoveOn batch={batch} visit={visit} /> : null}
        </div>
      </div>
      {batch === null ? null : <HandSamples batch={batch} vessel={vessel.vessel} visit={visit} />}
      <section class="past" id="past">
        <h2>{vesselWords.history}</h2>
        {history.length === 0 ? (
          <p>{vesselWords.noHistory}</p>
        ) : (
          <HistoryTable lines={history} root={root} caption={vesselWords.history} />
        )}
      </section>
    </Layout>
  );
};
