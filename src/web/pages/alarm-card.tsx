/**
 * One standing alarm in full: sign, rank and state in words, what was seen, what to check first, what
 * may be behind it, the caution, and the form to acknowledge it. Props in, HTML out.
 */
import type { Alarm } from '../../monitoring/alarm.ts';
import { asSentence, capital } from '../../monitoring/sentence.ts';
import {
  alarmCardWords,
  alarmStateWords,
  alarmWords,
  priorityWords,
  vesselWords,
} from '../messages.ts';
import { arrival } from './arrival.ts';
import { NoteField, PostForm } from './form.tsx';
import type { Visit } from './layout.tsx';
import { Age, Moment } from './moment.tsx';
import { AlarmSign } from './sign.tsx';

/** The caution where someone can be hurt; it looks the same wherever it stands. */
export const Caution = ({ text }: { readonly text: string }) => (
  <p class="caution">
    <strong>{vesselWords.caution}</strong> {asSentence(text)}
  </p>
);

const Listed = ({ title, items }: { readonly title: string; readonly items: readonly string[] }) =>
  items.length === 0 ? null : (
    <div>
      <h4>{title}</h4>
      <ul>
        {items.map((item) => (
          <li>{capital(item)}</li>
        ))}
      </ul>
    </div>
  );

const Acknowledgement = ({ alarm }: { readonly alarm: Alarm }) =>
  alarm.acknowledgedAt === null ? null : (
    <p class="acknowledged">
      {`${alarm.acknowledgedBy === null ? alarmCardWords.acknowledgedByNobody : alarmCardWords.acknowledgedBy(alarm.acknowledgedBy)}, `}
      <Moment at={alarm.acknowledgedAt} />
      {alarm.note === null ? null : <q>{alarm.note}</q>}
    </p>
  );

export const AlarmCard = ({
  alarm,
  vessel,
  visit,
  now,
}: {
  readonly alarm: Alarm;
  readonly vessel: { readonly vessel: string; readonly title: string };
  readonly visit: Visit;
  readonly now: number;
}) => {
  const id = `alarm-${vessel.vessel}-${alarm.alarm}`;
  const asks = alarm.state === 'unacknowledged' || alarm.state === 'returned-unacknowledged';
  return (
    <article
      class={`alarm-card rank-${alarm.priority}`}
      id={id}
      aria-labelledby={`${id}-title`}
      {...arrival(alarm, vessel)}
    >
      <div class="alarm-sign">
        <AlarmSign alarm={alarm} />
      </div>
      <div class="alarm-body">
        <h3 id={`${id}-title`}>{alarmWords[alarm.kind]}</h3>
        <p class="listed alarm-state">
          <strong>{priorityWords[alarm.priority]}</strong>
          <span>{alarmStateWords[alarm.state]}</span>
          <span>
            {`${alarmCardWords.raised.toLowerCase()} `}
            <Age at={alarm.raisedAt} now={now} />
          </span>
          <span>{alarmCardWords.occurrence(alarm.occurrence)}</span>
        </p>
        <p class="evidence">{asSentence(alarm.evidence)}</p>
        {alarm.returnedAt === null ? null : (
          <p>
            {`${alarmCardWords.returnedAt} `}
            <Moment at={alarm.returnedAt} />
          </p>
        )}
        {alarm.shelvedUntil === null ? null : (
          <p>
            {`${alarmCardWords.shelvedUntil} `}
            <Moment at={alarm.shelvedUntil} />
          </p>
        )}
        {alarm.caution === null ? null : <Caution text={alarm.caution} />}
        <div class="advice">
          <Listed title={alarmCardWords.checkFirst} items={alarm.checkFirst} />
          <Listed title={alarmCardWords.likelyCauses} items={alarm.likelyCauses} />
        </div>
        <Acknowledgement alarm={alarm} />
        {asks && visit.role === 'viewer' ? <p class="hint">{alarmCardWords.viewer}</p> : null}
        {asks && (visit.role === 'operator' || visit.role === 'keeper') ? (
          <PostForm
            class="acknowledge"
            action={`/cellars/${visit.cellar.cellar}/vessels/${vessel.vessel}/alarms/${encodeURIComponent(alarm.alarm)}/acknowledge`}
          >
            <NoteField
              form={id}
              name="note"
              label={alarmCardWords.note}
              hint={alarmCardWords.noteHint}
            />
            <button
              type="submit"
              aria-label={alarmCardWords.acknowledgeThis(alarmWords[alarm.kind], vessel.title)}
            >
              {alarmCardWords.acknowledge}
            </button>
          </PostForm>
        ) : null}
      </div>
    </article>
  );
};
