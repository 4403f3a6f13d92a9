/**
 * One receiver: how the telling goes, a test, its duty, its secret, and what was given up. Props in, HTML out.
 */
import type { Vessel } from '../../monitoring/vessel.ts';
import type { DeadLetter } from '../../storage/dead-letters.ts';
import type { ReceiverListing } from '../../storage/receiver-table.ts';
import { receiverWords as words } from '../messages.ts';
import { DutySection } from './duty.tsx';
import { PostForm, type Refused, SelectField } from './form.tsx';
import { Layout, type Visit } from './layout.tsx';
import { Moment } from './moment.tsx';
import { SecretShown, type ShownSecret } from './secret-shown.tsx';

export type ReceiverPageProps = Visit & {
  readonly receiver: ReceiverListing;
  readonly deadLetters: readonly DeadLetter[];
  readonly vessels: readonly Vessel[];
  /** Just made, and shown this once. */
  readonly secret?: ShownSecret | undefined;
  /** A test was just sent. */
  readonly tested?: boolean | undefined;
  /** The form of its duty was just refused. */
  readonly refused?: Refused | undefined;
};

const State = ({ receiver }: { readonly receiver: ReceiverListing }) => (
  <section id="state">
    <h2>{words.state}</h2>
    <div class="facts">
      <dl>
        <div>
          <dt>{words.address}</dt>
          <dd>
            <code>{receiver.url}</code>
          </dd>
        </div>
        <div>
          <dt>{words.added}</dt>
          <dd>
            <Moment at={receiver.createdAt} />
          </dd>
        </div>
        <div>
          <dt>{words.lastTry}</dt>
          <dd>{receiver.lastOutcome ?? words.neverTried}</dd>
        </div>
        <div>
          <dt>{words.waiting}</dt>
          <dd>{receiver.waiting}</dd>
        </div>
      </dl>
    </div>
    <p class="hint">{words.waitingLead}</p>
  </section>
);

const DeadLetters = ({
  letters,
  here,
}: {
  readonly letters: readonly DeadLetter[];
  readonly here: string;
}) => (
  <section id="given-up">
    <h2>{words.deadLetters}</h2>
    {letters.length === 0 ? (
      <p>{words.noDeadLetters}</p>
    ) : (
      <>
        <p class="hint">{words.deadLettersLead}</p>
        <PostForm action={`${here}/dead-letters/resend`}>
          <button type="submit" name="letter" value="all">
            {words.againAll}
          </button>
        </PostForm>
        <ul class="ledger">
          {letters.map((letter) => (
            <li>
              <p class="ledger-name">{letter.headline}</p>
              <p class="listed">
                <span>
                  {`${words.told} `}
                  <Moment at={letter.queuedAt} />
                </span>
                <span>
                  {`${words.givenUp} `}
                  <Moment at={letter.givenUpAt} />
                </span>
                <span>{words.tries(letter.tries)}</span>
                <span>{`${words.why}: ${letter.lastOutcome ?? words.notWritten}`}</span>
              </p>
              <PostForm action={`${here}/dead-letters/resend`} class="ledger-act">
                <button
                  type="submit"
                  name="letter"
                  value={letter.id}
                  class="second"
                  aria-label={words.againThis(letter.headline)}
                >
                  {words.again}
                </button>
              </PostForm>
            </li>
          ))}
        </ul>
      </>
    )}
  </section>
);

/** Usual intervals, and the one that is set where it is none of them. */
const beatOptions = (present: number | null) => [
  { value: '', words: words.noHeartbeat },
  ...[...new Set([5, 15, 60, 360, 1440, ...(present === null ? [] : [present])])]
    .toSorted((one, other) => one - other)
    .map((minutes) => ({ value: String(minutes), words: words.everyMinutes(minutes) })),
];

export const receiverPage = ({
  receiver,
  deadLetters,
  vessels,
  secret,
  tested = false,
  refused,
  ...visit
}: ReceiverPageProps) => {
  const root = `/cellars/${visit.cellar.cellar}`;
  const here = `${root}/receivers/${encodeURIComponent(receiver.id)}`;
  return (
    <Layout title={`${receiver.title}, ${visit.cellar.title}`} visit={visit} here="set-up">
      <h1>{receiver.title}</h1>
      {secret === undefined ? null : <SecretShown {...secret} />}
      {tested ? <p role="status">{words.testSent}</p> : null}
      <State receiver={receiver} />
      <section id="test">
        <h2>{words.test}</h2>
        <p class="hint">{words.testHint}</p>
        <PostForm action={`${here}/test`}>
          <button type="submit">{words.test}</button>
        </PostForm>
      </section>
      <DutySection
        duty={receiver.duty}
        vessels={vessels}
        action={`${here}/duty`}
        refused={refused}
      />
      <section id="heartbeat">
        <h2>{words.heartbeat}</h2>
        <p class="hint">{words.heartbeatLead}</p>
        <PostForm action={`${here}/heartbeat`} class="inline-form">
          <SelectField
            form="heartbeat"
            name="everyMinutes"
            label={words.heartbeatEvery}
            chosen={String(receiver.heartbeatMinutes ?? '')}
            options={beatOptions(receiver.heartbeatMinutes)}
          />
          <button type="submit" class="second">
            {words.save}
          </button>
        </PostForm>
      </section>
      <DeadLetters letters={deadLetters} here={here} />
      {receiver.kind === 'webhook' ? (
        <section id="secret">
          <h2>{words.secret}</h2>
          <p class="hint">{words.secretLead}</p>
          {receiver.formerSecretUntil === null ? null : (
            <p>
              {`${words.formerUntil} `}
              <Moment at={receiver.formerSecretUntil} />.
            </p>
          )}
          <PostForm action={`${here}/secret`}>
            <button type="submit" class="second">
              {words.replaceSecret}
            </button>
          </PostForm>
        </section>
      ) : null}
      <section id="remove">
        <h2>{words.remove}</h2>
        <p class="hint">{words.removeHint}</p>
        <PostForm action={`${here}/delete`}>
          <button type="submit" class="second">
            {words.remove}
          </button>
        </PostForm>
      </section>
      <p>
        <a href={`${root}/set-up#receivers`}>{words.back}</a>
      </p>
    </Layout>
  );
};
