/** An alarm as whoever got a link to it sees it, and the one button; then that it is done. Props in, HTML out. */
import { alarmText } from '../../monitoring/alarms/alarm-text.ts';
import type { StandingAlarm } from '../../storage/alarm-history.ts';
import { acknowledgeWords as words } from '../messages.ts';
import { PostForm } from './form.tsx';
import { Layout } from './layout.tsx';
import { Moment } from './moment.tsx';

type AcknowledgedProps = { readonly alarm: StandingAlarm; readonly vesselTitle: string };

type AcknowledgeProps = AcknowledgedProps & { readonly action: string };

export const acknowledgePage = ({ alarm, vesselTitle, action }: AcknowledgeProps) => {
  const text = alarmText(alarm);
  const calls = alarm.state === 'unacknowledged';
  return (
    <Layout title={words.title} visit={null}>
      <h1>{`${vesselTitle}: ${text.title}`}</h1>
      <p>
        <strong>{text.rank}</strong>
      </p>
      <p>
        {`${words.raised} `}
        <Moment at={alarm.raisedAt} />
        {`. ${words.state(text.state)}`}
      </p>
      <p>{text.evidence}</p>
      {text.latest === null ? null : <p>{text.latest.words}</p>}
      {text.caution === null ? null : (
        <p>
          <strong>{text.caution}</strong>
        </p>
      )}
      {text.checkFirst.length === 0 ? null : (
        <>
          <h2>{words.checkFirst}</h2>
          <ol>
            {text.checkFirst.map((item) => (
              <li>{item}</li>
            ))}
          </ol>
        </>
      )}
      {calls ? (
        <PostForm action={action}>
          <p class="hint">{words.hint}</p>
          <button type="submit">{words.button}</button>
        </PostForm>
      ) : (
        <p>{words.nothingToDo}</p>
      )}
    </Layout>
  );
};

export const acknowledgedPage = ({ alarm, vesselTitle }: AcknowledgedProps) => (
  <Layout title={words.done} visit={null}>
    <h1>{words.done}</h1>
    <p>{words.doneWords(`${vesselTitle}: ${alarmText(alarm).title}`)}</p>
  </Layout>
);
