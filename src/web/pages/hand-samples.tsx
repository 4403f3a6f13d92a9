/** Samples taken by hand: the form that takes one, and those of the batch so far. Props in, HTML out. */
import type { Batch } from '../../monitoring/batch.ts';
import { sampleWords } from '../messages.ts';
import { NoteField, PostForm, TextField } from './form.tsx';
import type { Visit } from './layout.tsx';
import { Moment } from './moment.tsx';

/** The newest that a page shows. */
const shownSamples = 8;

const Taken = ({ samples }: { readonly samples: NonNullable<Batch['samples']> }) => (
  <table class="samples">
    <caption>{sampleWords.taken}</caption>
    <thead>
      <tr>
        <th scope="col">{sampleWords.when}</th>
        <th scope="col">{sampleWords.gravity}</th>
        <th scope="col">{sampleWords.reading}</th>
        <th scope="col">{sampleWords.ph}</th>
        <th scope="col">{sampleWords.by}</th>
      </tr>
    </thead>
    <tbody>
      {samples
        .slice(-shownSamples)
        .toReversed()
        .map((sample) => (
          <tr>
            <td>
              <Moment at={sample.time} />
            </td>
            <td>{sample.gravity === null ? '–' : sample.gravity.toFixed(4)}</td>
            <td>
              {sample.readingGravity === null || sample.sampleTemperatureCelsius === null
                ? '–'
                : sampleWords.readAt(sample.readingGravity, sample.sampleTemperatureCelsius)}
            </td>
            <td>{sample.ph === null ? '–' : sample.ph.toFixed(2)}</td>
            <td>{sample.note === null ? sample.by : `${sample.by}: ${sample.note}`}</td>
          </tr>
        ))}
    </tbody>
  </table>
);

export const HandSamples = ({
  batch,
  vessel,
  visit,
}: {
  readonly batch: Batch;
  readonly vessel: string;
  readonly visit: Visit;
}) => {
  const samples = batch.samples ?? [];
  const mayTake = visit.role === 'operator' || visit.role === 'keeper';
  const field = { form: 'sample' };
  return (
    <section id="hand-samples">
      <h2>{sampleWords.title}</h2>
      <p class="hint">{sampleWords.lead}</p>
      {samples.length === 0 ? null : <Taken samples={samples} />}
      {mayTake ? (
        <PostForm
          action={`/cellars/${visit.cellar.cellar}/vessels/${vessel}/samples`}
          class="grid-form"
        >
          <TextField {...field} name="readingGravity" decimal label={sampleWords.typeReading} />
          <TextField
            {...field}
            name="sampleTemperatureCelsius"
            decimal
            label={sampleWords.typeTemperature}
            hint={sampleWords.temperatureHint}
          />
          <TextField {...field} name="ph" decimal label={sampleWords.typePh} />
          <NoteField {...field} name="note" label={sampleWords.note} />
          <div class="whole-row">
            <button type="submit">{sampleWords.take}</button>
          </div>
        </PostForm>
      ) : null}
    </section>
  );
};
