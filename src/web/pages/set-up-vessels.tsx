/** The vessels of the cellar and the form that describes one. Props in, HTML out. */
import { type Vessel, vesselKinds } from '../../monitoring/vessel.ts';
import { setUpWords, vesselKindWords, vesselWords } from '../messages.ts';
import { Disclosure } from './disclosure.tsx';
import { CheckField, PostForm, type Refused, SelectField, TextField } from './form.tsx';
import type { Visit } from './layout.tsx';
import { barText, litreText } from './quantity.ts';

const words = setUpWords.fields;

const VesselForm = ({
  root,
  refused,
}: {
  readonly root: string;
  readonly refused: Refused | undefined;
}) => {
  const field = { form: 'vessel', refused };
  return (
    <PostForm action={`${root}/vessels`} class="grid-form">
      <TextField {...field} name="title" required label={words.title} hint={words.titleHint} />
      <TextField {...field} name="vessel" required label={words.short} hint={words.shortHint} />
      <SelectField
        {...field}
        name="kind"
        label={words.kind}
        chosen="fermenter"
        options={vesselKinds.map((kind) => ({ value: kind, words: vesselKindWords[kind] }))}
      />
      <TextField
        {...field}
        name="volumeLitre"
        required
        decimal
        label={words.volume}
        hint={words.volumeHint}
      />
      <TextField
        {...field}
        name="headspaceLitre"
        required
        decimal
        label={words.headspace}
        hint={words.headspaceHint}
      />
      <TextField
        {...field}
        name="ratedGaugePressureBar"
        decimal
        label={words.rated}
        hint={words.ratedHint}
      />
      <TextField
        {...field}
        name="reliefGaugePressureBar"
        decimal
        label={words.relief}
        hint={words.reliefHint}
      />
      <TextField {...field} name="lowCelsius" decimal label={words.low} hint={words.bandHint} />
      <TextField {...field} name="highCelsius" decimal label={words.high} hint={words.bandHint} />
      <div class="whole-row">
        <CheckField
          form="vessel"
          name="gasConnected"
          value="yes"
          label={words.gas}
          checked={refused?.values.gasConnected !== undefined}
        />
      </div>
      <div class="whole-row">
        <p class="hint">{setUpWords.vesselHint}</p>
        <button type="submit">{setUpWords.addVessel}</button>
      </div>
    </PostForm>
  );
};

export const VesselSection = ({
  vessels,
  root,
  visit,
  refused,
}: {
  readonly vessels: readonly Vessel[];
  readonly root: string;
  readonly visit: Visit;
  readonly refused: Refused | undefined;
}) => (
  <section id="vessels">
    <h2>{setUpWords.vessels}</h2>
    {vessels.length === 0 ? (
      <p>{setUpWords.noVessels}</p>
    ) : (
      <ul class="ledger">
        {vessels.map((vessel) => (
          <li>
            <p class="ledger-name">
              <a href={`${root}/vessels/${vessel.vessel}`}>{vessel.title}</a>
            </p>
            <p class="listed">
              <code>{vessel.vessel}</code>
              <span>{vesselKindWords[vessel.kind]}</span>
              {vessel.kind === 'room' ? null : (
                <>
                  <span>{litreText(vessel.volumeLitre)}</span>
                  <span>
                    {vessel.ratedGaugePressurePascal === null
                      ? vesselWords.unrated
                      : vesselWords.rated(barText(vessel.ratedGaugePressurePascal))}
                  </span>
                </>
              )}
            </p>
          </li>
        ))}
      </ul>
    )}
    {visit.role === 'keeper' ? (
      <Disclosure
        title={setUpWords.addVessel}
        form="vessel"
        refused={refused}
        open={vessels.length === 0}
      >
        <VesselForm root={root} refused={refused} />
      </Disclosure>
    ) : null}
  </section>
);
