/** Who may see the cellar, and the form that makes a key. Props in, HTML out. */
import type { Vessel } from '../../monitoring/vessel.ts';
import { type KeyListing, roles } from '../../storage/access.ts';
import { roleNames, roleWords, setUpWords } from '../messages.ts';
import { Disclosure } from './disclosure.tsx';
import { CheckField, PostForm, type Refused, SelectField, TextField } from './form.tsx';
import { Moment } from './moment.tsx';

const words = setUpWords.fields;

type KeySectionProps = {
  readonly keys: readonly KeyListing[];
  readonly vessels: readonly Vessel[];
  readonly root: string;
  readonly refused: Refused | undefined;
  /** Unix seconds of the cellar. */
  readonly now: number;
};

type KeyLineProps = {
  readonly listed: KeyListing;
  readonly root: string;
  /** Unix seconds of the cellar. */
  readonly now: number;
};

const KeyLine = ({ listed, root, now }: KeyLineProps) => (
  <li>
    <p class="ledger-name">{listed.title}</p>
    <p class="listed">
      <span>{roleNames[listed.role]}</span>
      {listed.vessels === null ? null : <span>{listed.vessels.join(', ')}</span>}
      <span>
        {`${setUpWords.made} `}
        <Moment at={listed.createdAt} />
      </span>
      {listed.lastUsedAt === null ? (
        <span>{setUpWords.neverUsed}</span>
      ) : (
        <span>
          {`${setUpWords.used} `}
          <Moment at={listed.lastUsedAt} />
        </span>
      )}
      {listed.expiresAt === null ? null : (
        <span>
          {`${listed.expiresAt > now ? setUpWords.expires : setUpWords.expired} `}
          <Moment at={listed.expiresAt} />
        </span>
      )}
      {listed.revokedAt === null ? null : (
        <span>
          {`${setUpWords.revoked} `}
          <Moment at={listed.revokedAt} />
        </span>
      )}
    </p>
    {listed.revokedAt === null ? (
      <PostForm
        action={`${root}/keys/${encodeURIComponent(listed.keyId)}/revoke`}
        class="ledger-act"
      >
        <button type="submit" class="second" aria-label={setUpWords.revokeThis(listed.title)}>
          {setUpWords.revoke}
        </button>
      </PostForm>
    ) : null}
  </li>
);

const KeyForm = ({ vessels, root, refused }: Omit<KeySectionProps, 'keys' | 'now'>) => {
  const field = { form: 'key', refused };
  const ticked = refused?.values.vessels?.split(/[\s,]+/) ?? [];
  return (
    <PostForm action={`${root}/keys`} class="grid-form">
      <TextField {...field} name="title" required label={words.holder} hint={words.holderHint} />
      <SelectField
        {...field}
        name="role"
        label={words.role}
        options={roles.map((role) => ({ value: role, words: roleWords[role] }))}
      />
      <SelectField
        {...field}
        name="lifetime"
        label={words.lifetime}
        options={Object.entries(words.lifetimes).map(([value, text]) => ({ value, words: text }))}
        chosen=""
      />
      {vessels.length === 0 ? null : (
        <fieldset class="whole-row" id="key-vessels">
          <legend>{words.vessels}</legend>
          {refused?.problems.vessels === undefined ? null : (
            <p class="problem">{refused.problems.vessels}</p>
          )}
          <div class="checks">
            {vessels.map((vessel) => (
              <CheckField
                form="key"
                name="vessels"
                value={vessel.vessel}
                label={vessel.title}
                checked={ticked.includes(vessel.vessel)}
              />
            ))}
          </div>
        </fieldset>
      )}
      <div class="whole-row">
        <button type="submit">{setUpWords.addKey}</button>
      </div>
    </PostForm>
  );
};

export const KeySection = ({ keys, now, ...form }: KeySectionProps) => (
  <section id="keys">
    <h2>{setUpWords.keys}</h2>
    <p class="hint">{setUpWords.keysLead}</p>
    {keys.length === 0 ? null : (
      <ul class="ledger">
        {keys.map((listed) => (
          <KeyLine listed={listed} root={form.root} now={now} />
        ))}
      </ul>
    )}
    <Disclosure title={setUpWords.addKey} form="key" refused={form.refused}>
      <KeyForm {...form} />
    </Disclosure>
  </section>
);
