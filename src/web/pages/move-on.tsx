/** The forms that set a batch's stage, write down what was done and end it, for who may. Props in, HTML out. */
import { type Batch, stages } from '../../monitoring/batch.ts';
import { deedKinds } from '../../monitoring/stages/deed.ts';
import { stageFactWords, stageWords, vesselWords } from '../messages.ts';
import { PostForm, SelectField } from './form.tsx';
import type { Visit } from './layout.tsx';

export const MoveOn = ({ batch, visit }: { readonly batch: Batch; readonly visit: Visit }) => {
  const root = `/cellars/${visit.cellar.cellar}/batches/${batch.batch}`;
  return (
    <section class="move-on" id="move-on">
      <h2>{vesselWords.moveOn}</h2>
      <PostForm action={`${root}/stage`} class="inline-form">
        <SelectField
          form="stage"
          name="stage"
          label={vesselWords.stage}
          chosen={batch.stage}
          options={stages.map((stage) => ({ value: stage, words: stageWords[stage] }))}
        />
        <button type="submit" class="second">
          {vesselWords.setStage}
        </button>
      </PostForm>
      {batch.stage === 'ageing' ? (
        <PostForm action={`${root}/deeds`} class="inline-form">
          <SelectField
            form="deed"
            name="deed"
            label={stageFactWords.deed}
            chosen="topped"
            options={deedKinds.map((deed) => ({ value: deed, words: stageFactWords.deeds[deed] }))}
          />
          <button type="submit" class="second">
            {stageFactWords.writeDown}
          </button>
        </PostForm>
      ) : null}
      <PostForm action={`${root}/end`} class="inline-form">
        <p class="hint">{vesselWords.endHint}</p>
        <button type="submit" class="second">
          {vesselWords.end}
        </button>
      </PostForm>
    </section>
  );
};
