/** Every alarm that stands in the cellar, most urgent first, and what happened before. Props in, HTML out. */

import { isSetAside, isShown } from '../../monitoring/alarms/alarm-standing.ts';
import type { FloodChange } from '../../monitoring/alarms/flood.ts';
import type { Vessel } from '../../monitoring/vessel.ts';
import { alarmsWords } from '../messages.ts';
import { AlarmCard } from './alarm-card.tsx';
import { type HistoryEvent, HistoryTable } from './history-table.tsx';
import { Layout, type Visit } from './layout.tsx';
import { byUrgency, type StandingAlarm } from './urgency.ts';

/** What happened, with the vessel as it was called then. */
type HistoryEntry =
  | (HistoryEvent & { readonly vessel: string; readonly vesselTitle: string })
  | ({ readonly kind: 'flood' } & FloodChange);

export type AlarmsPageProps = Visit & {
  readonly standing: readonly StandingAlarm[];
  /** Newest first. */
  readonly history: readonly HistoryEntry[];
  /** For the names people use; an alarm carries only the short one. */
  readonly vessels: readonly Pick<Vessel, 'vessel' | 'title'>[];
  /** Unix seconds. */
  readonly now: number;
};

/** Cards with the vessel that each is on. */
const Cards = ({
  alarms,
  title,
  visit,
  now,
}: {
  readonly alarms: readonly StandingAlarm[];
  readonly title: ReadonlyMap<string, string>;
  readonly visit: Visit;
  readonly now: number;
}) => (
  <>
    {alarms.toSorted(byUrgency).map((alarm) => {
      const vessel = { vessel: alarm.vessel, title: title.get(alarm.vessel) ?? alarm.vessel };
      return (
        <div class="card-of-vessel" id={`of-${alarm.vessel}-${alarm.alarm}`}>
          <h2>
            <a href={`/cellars/${visit.cellar.cellar}/vessels/${vessel.vessel}`}>{vessel.title}</a>
          </h2>
          <AlarmCard alarm={alarm} vessel={vessel} visit={visit} now={now} />
        </div>
      );
    })}
  </>
);

export const alarmsPage = ({ standing: all, history, vessels, now, ...visit }: AlarmsPageProps) => {
  const root = `/cellars/${visit.cellar.cellar}`;
  const title = new Map(vessels.map((vessel) => [vessel.vessel, vessel.title]));
  const standing = all.filter(({ state }) => isShown(state));
  const setAside = all.filter(({ state }) => isSetAside(state));
  return (
    <Layout
      title={`${alarmsWords.title}, ${visit.cellar.title}`}
      visit={visit}
      here="alarms"
      standing={standing.length}
      live={`${root}/alarms`}
      now={now}
    >
      <div class="opening">
        <h1>{standing.length === 0 ? alarmsWords.none : alarmsWords.some(standing.length)}</h1>
      </div>
      {standing.length === 0 ? null : (
        <section class="cards" id="standing" aria-label={alarmsWords.standing}>
          <Cards alarms={standing} title={title} visit={visit} now={now} />
        </section>
      )}
      {setAside.length === 0 ? null : (
        <section class="cards" id="set-aside" aria-labelledby="set-aside-title">
          <h2 id="set-aside-title">{alarmsWords.setAside}</h2>
          <Cards alarms={setAside} title={title} visit={visit} now={now} />
        </section>
      )}
      <p>
        <a href={`${root}/alarms/figures`}>{alarmsWords.figures}</a>
      </p>
      <section class="past" id="past">
        <h2>{alarmsWords.history}</h2>
        {history.length === 0 ? (
          <p>{alarmsWords.noHistory}</p>
        ) : (
          <HistoryTable
            root={root}
            caption={alarmsWords.history}
            lines={history.map((entry) =>
              entry.kind === 'flood'
                ? entry
                : { ...entry, vessel: { vessel: entry.vessel, title: entry.vesselTitle } },
            )}
          />
        )}
      </section>
    </Layout>
  );
};
