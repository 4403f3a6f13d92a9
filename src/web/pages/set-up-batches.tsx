/** The batches of the cellar and the form that starts one. Props in, HTML out. */
import { type Batch, drinks } from '../../monitoring/batch.ts';
import type { Vessel } from '../../monitoring/vessel.ts';
import { drinkWords, setUpWords, stageWords, vesselWords } from '../messages.ts';
import { Disclosure } from './disclosure.tsx';
import { PostForm, type Refused, SelectField, TextField } from './form.tsx';
import type { Visit } from './layout.tsx';
import { Moment } from './moment.tsx';

const words = setUpWords.fields;

export type BatchLine = { readonly batch: Batch; readonly vessel: string };

type BatchSectionProps = {
  readonly vessels: readonly Vessel[];
  readonly batches: readonly BatchLine[];
  readonly root: string;
  readonly visit: Visit;
  readonly refused: Refused | undefined;
};

const BatchForm = ({ vessels, root, refused }: Omit<BatchSectionProps, 'batches' | 'visit'>) => {
  const field = { form: 'batch', refused };
  return (
    <PostForm action={`${root}/batches`} class="grid-form">
      <TextField {...field} name="title" required label={words.title} hint={words.titleHint} />
      <TextField {...field} name="batch" required label={words.short} hint={words.batchShortHint} />
      <SelectField
        {...field}
        name="vessel"
        label={words.vessel}
        options={vessels.map((vessel) => ({ value: vessel.vessel, words: vessel.title }))}
      />
      <SelectField
        {...field}
        name="drink"
        label={words.drink}
        options={drinks.map((drink) => ({ value: drink, words: drinkWords[drink] }))}
      />
      <TextField
        {...field}
        name="startedAt"
        type="datetime-local"
        label={words.started}
        hint={words.startedHint}
      />
      <TextField {...field} name="originalGravity" decimal label={words.original} />
      <TextField
        {...field}
        name="expectedTerminalGravity"
        decimal
        label={words.terminal}
        hint={words.terminalHint}
      />
      <TextField
        {...field}
        name="attenuationLimitPercent"
        decimal
        label={words.limit}
        hint={words.limitHint}
      />
      <TextField
        {...field}
        name="carbonationVolumes"
        decimal
        label={words.carbonation}
        hint={words.carbonationHint}
      />
      <TextField {...field} name="lowCelsius" decimal label={words.low} hint={words.bandHint} />
      <TextField {...field} name="highCelsius" decimal label={words.high} hint={words.bandHint} />
      <div class="whole-row">
        <button type="submit">{setUpWords.startBatch}</button>
      </div>
    </PostForm>
  );
};

export const BatchSection = ({ batches, ...form }: BatchSectionProps) => {
  const titles = new Map(form.vessels.map((vessel) => [vessel.vessel, vessel.title]));
  const mayStart = form.visit.role === 'operator' || form.visit.role === 'keeper';
  return (
    <section id="batches">
      <h2>{setUpWords.batches}</h2>
      {batches.length === 0 ? (
        <p>{setUpWords.noBatches}</p>
      ) : (
        <ul class="ledger">
          {batches.map(({ batch, vessel }) => (
            <li>
              <p class="ledger-name">{batch.title}</p>
              <p class="listed">
                <span>
                  <a href={`${form.root}/vessels/${vessel}`}>{titles.get(vessel) ?? vessel}</a>
                </span>
                <span>{drinkWords[batch.drink]}</span>
                {batch.endedAt === null ? (
                  <>
                    <span>{stageWords[batch.stage]}</span>
                    <span>
                      {`${vesselWords.since} `}
                      <Moment at={batch.startedAt} />
                    </span>
                  </>
                ) : (
                  <span>
                    {`${setUpWords.ended} `}
                    <Moment at={batch.endedAt} />
                  </span>
                )}
              </p>
            </li>
          ))}
        </ul>
      )}
      {form.vessels.length === 0 ? <p class="hint">{setUpWords.needVessel}</p> : null}
      {mayStart && form.vessels.length > 0 ? (
        <Disclosure title={setUpWords.startBatch} form="batch" refused={form.refused}>
          <BatchForm {...form} />
        </Disclosure>
      ) : null}
    </section>
  );
};
