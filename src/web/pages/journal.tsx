/** What people did in the cellar, newest first. Props in, HTML out. */
import type { JournalRow } from '../../storage/journal-entry.ts';
import { journalActWords, journalWords } from '../messages.ts';
import { factText } from './journal-fact.ts';
import { Layout, type Visit } from './layout.tsx';
import { Moment } from './moment.tsx';

const Entry = ({ entry }: { readonly entry: JournalRow }) => {
  const facts = Object.entries(entry.facts).flatMap(([name, value]) =>
    value === null ? [] : [{ name, text: factText(value) }],
  );
  return (
    <tr>
      <td class="when">
        <Moment at={entry.at} />
      </td>
      <td class="what">
        <span>
          {journalActWords[entry.act]} <code>{entry.about}</code>
          {entry.note === null ? null : (
            <>
              {' '}
              <q>{entry.note}</q>
            </>
          )}
        </span>
        {facts.map(({ name, text }) => (
          <span class="fact">{`${journalWords.fact(name)} ${text}`}</span>
        ))}
      </td>
      <td class="who">{entry.by === '' ? journalWords.nobody : entry.by}</td>
    </tr>
  );
};

export const journalPage = ({
  entries,
  full,
  ...visit
}: Visit & {
  readonly entries: readonly JournalRow[];
  /** Whether older ones may follow. */
  readonly full: boolean;
}) => {
  const root = `/cellars/${visit.cellar.cellar}`;
  const last = entries.at(-1);
  return (
    <Layout title={`${journalWords.title}, ${visit.cellar.title}`} visit={visit}>
      <div class="opening">
        <h1>{journalWords.title}</h1>
        <p class="lead">{journalWords.lead}</p>
        <p>
          <a class="far-link" href={`${root}/set-up`}>
            {journalWords.back}
          </a>
        </p>
      </div>
      {entries.length === 0 ? (
        <p>{journalWords.none}</p>
      ) : (
        <section class="scroller" aria-label={journalWords.title} tabindex={0}>
          <table class="history">
            <thead>
              <tr>
                <th scope="col">{journalWords.when}</th>
                <th scope="col">{journalWords.what}</th>
                <th scope="col">{journalWords.who}</th>
              </tr>
            </thead>
            <tbody>
              {entries.map((entry) => (
                <Entry entry={entry} />
              ))}
            </tbody>
          </table>
        </section>
      )}
      {full && last !== undefined ? (
        <p>
          <a class="far-link" href={`${root}/journal?before=${last.id}`}>
            {journalWords.older}
          </a>
        </p>
      ) : null}
    </Layout>
  );
};
