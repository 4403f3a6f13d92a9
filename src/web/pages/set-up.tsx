/**
 * What the cellar holds, who may see it and who is told; a keeper adds and withdraws here. A refused
 * form comes back as it was typed, with each problem at its field. Props in, HTML out.
 */
import type { Vessel } from '../../monitoring/vessel.ts';
import type { KeyListing } from '../../storage/access.ts';
import { setUpWords } from '../messages.ts';
import type { Refused } from './form.tsx';
import { Layout, type Visit } from './layout.tsx';
import { SecretShown, type ShownSecret } from './secret-shown.tsx';
import { type BatchLine, BatchSection } from './set-up-batches.tsx';
import { KeySection } from './set-up-keys.tsx';
import { PushSection } from './set-up-push.tsx';
import { type ReceiverLine, ReceiverSection } from './set-up-receivers.tsx';
import { VesselSection } from './set-up-vessels.tsx';

export type SetUpForm = 'vessel' | 'batch' | 'key' | 'receiver' | 'relay';

export type SetUpPageProps = Visit & {
  readonly vessels: readonly Vessel[];
  readonly batches: readonly BatchLine[];
  readonly keys: readonly KeyListing[];
  /** Unix seconds of the cellar. */
  readonly now: number;
  readonly receivers: readonly ReceiverLine[];
  /** Just made, and shown this once. */
  /** The cellar's public key for push, in base64url. */
  readonly pushKey?: string | undefined;
  readonly secret?: ShownSecret | undefined;
  /** The one form that was just refused. */
  readonly refused?: ({ readonly form: SetUpForm } & Refused) | undefined;
  /** Alarms that stand in the whole cellar, for the masthead; null where that was not asked. */
  readonly standing?: number | null | undefined;
};

export const setUpPage = ({
  vessels,
  batches,
  keys,
  now,
  receivers,
  pushKey,
  secret,
  refused,
  standing,
  ...visit
}: SetUpPageProps) => {
  const root = `/cellars/${visit.cellar.cellar}`;
  const keeper = visit.role === 'keeper';
  const refusedAt = (form: SetUpForm) => (refused?.form === form ? refused : undefined);
  return (
    <Layout
      title={`${setUpWords.title}, ${visit.cellar.title}`}
      visit={visit}
      here="set-up"
      standing={standing}
      push
    >
      <div class="opening">
        <h1>{setUpWords.title}</h1>
        <p class="lead">{keeper ? setUpWords.lead : setUpWords.keeperOnly}</p>
        {keeper ? (
          <p>
            <a class="far-link" href={`${root}/journal`}>
              {setUpWords.journal}
            </a>
          </p>
        ) : null}
      </div>
      {secret === undefined ? null : <SecretShown {...secret} />}
      {pushKey === undefined ? null : <PushSection pushKey={pushKey} root={root} />}
      <VesselSection vessels={vessels} root={root} visit={visit} refused={refusedAt('vessel')} />
      <BatchSection
        vessels={vessels}
        batches={batches}
        root={root}
        visit={visit}
        refused={refusedAt('batch')}
      />
      {keeper ? (
        <>
          <KeySection
            keys={keys}
            now={now}
            vessels={vessels}
            root={root}
            refused={refusedAt('key')}
          />
          <ReceiverSection
            receivers={receivers}
            root={root}
            refused={refusedAt('receiver')}
            relayRefused={refusedAt('relay')}
          />
        </>
      ) : null}
    </Layout>
  );
};
