/**
 * One alarm in full: sign, rank and state in words, what was seen and is seen, what to check first, what may be
 * behind it, the caution, and the forms to answer it. Props in, HTML out.
 */
import type { Alarm } from '../../monitoring/alarms/alarm.ts';
import { alarmText } from '../../monitoring/alarms/alarm-text.ts';
import { asSentence } from '../../monitoring/words/sentence.ts';
import { alarmCardWords, vesselWords } from '../messages.ts';
import { AlarmActs } from './alarm-acts.tsx';
import { arrival } from './arrival.ts';
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
          <li>{item}</li>
        ))}
      </ul>
    </div>
  );

const Acknowledgement = ({ alarm }: { readonly alarm: Alarm }) =>
  alarm.acknowledgedAt === null ? null : (
    <p class="acknowledged">
      {`${alarm.acknowledgedBy === null ? alarmCardWords.acknowledgedByNobody : alarmCardWords.acknowledgedBy(alarm.acknowledgedBy)}, `}
      <Moment at={alarm.acknowledgedAt} />
      {alarm.reAlarmAt === null ? null : (
        <>
          {`. ${alarmCardWords.asksAgain} `}
          <Moment at={alarm.reAlarmAt} />
        </>
      )}
      {alarm.note === null ? null : <q>{alarm.note}</q>}
    </p>
  );

const SetAside = ({ alarm }: { readonly alarm: Alarm }) =>
  alarm.setAside === null ? null : (
    <p class="acknowledged">
      {alarm.shelvedUntil === null ? null : (
        <>
          {`${alarmCardWords.shelvedUntil} `}
          <Moment at={alarm.shelvedUntil} />
          {'. '}
        </>
      )}
      {`${alarm.setAside.by === null ? alarmCardWords.setAsideByNobody : alarmCardWords.setAsideBy(alarm.setAside.by)}, `}
      <Moment at={alarm.setAside.at} />
      {alarm.setAside.why === null ? null : <q>{alarm.setAside.why}</q>}
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
  const text = alarmText(alarm);
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
        <h3 id={`${id}-title`}>{text.title}</h3>
        <p class="listed alarm-state">
          <strong>{text.rank}</strong>
          <span>{text.state}</span>
          <span>
            {`${alarmCardWords.raised.toLowerCase()} `}
            <Age at={alarm.raisedAt} now={now} />
          </span>
          <span>{alarmCardWords.occurrence(alarm.occurrence)}</span>
        </p>
        <p class="evidence">{text.evidence}</p>
        {text.latest === null ? null : (
          <p class="evidence-since">
            {`${alarmCardWords.latest}, `}
            <Age at={text.latest.at} now={now} />
            {`: ${text.latest.words}`}
          </p>
        )}
        {text.chatter === null ? null : <p>{text.chatter}</p>}
        {alarm.returnedAt === null ? null : (
          <p>
            {`${alarmCardWords.returnedAt} `}
            <Moment at={alarm.returnedAt} />
          </p>
        )}
        {text.caution === null ? null : <Caution text={text.caution} />}
        <div class="advice">
          <Listed title={alarmCardWords.checkFirst} items={text.checkFirst} />
          <Listed title={alarmCardWords.likelyCauses} items={text.likelyCauses} />
        </div>
        {text.basis === null ? null : (
          <details class="disclosure" id={`${id}-basis`}>
            <summary>{alarmCardWords.basis}</summary>
            <p>{text.basis}</p>
          </details>
        )}
        <Acknowledgement alarm={alarm} />
        <SetAside alarm={alarm} />
        <AlarmActs alarm={alarm} vessel={vessel} visit={visit} id={id} />
      </div>
    </article>
  );
};
