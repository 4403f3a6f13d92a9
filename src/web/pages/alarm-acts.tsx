/**
 * The forms with which a person answers an alarm, for who may: acknowledge it, reset it once latched, bring it back
 * where it is set aside; and, behind a title of its own, set it aside. Props in, HTML out.
 */
import type { Child } from 'hono/jsx';
import type { Alarm } from '../../monitoring/alarms/alarm.ts';
import { isSetAside } from '../../monitoring/alarms/alarm-standing.ts';
import { longestShelfSeconds } from '../../monitoring/alarms/shelving.ts';
import type { Act } from '../../monitoring/watch.ts';
import { alarmActWords, alarmCardWords, alarmWords } from '../messages.ts';
import { NoteField, PostForm, SelectField } from './form.tsx';
import type { Visit } from './layout.tsx';

type Acted = {
  readonly alarm: Alarm;
  readonly vessel: { readonly vessel: string; readonly title: string };
  readonly visit: Visit;
  /** Keeps the ids of several cards on one page apart. */
  readonly id: string;
};

/** Hours that the form offers; those beyond what the priority allows are left out. */
const shelfHours = [1, 4, 8, 24, 72, 168, 336] as const;

const ActForm = ({
  acted: { alarm, vessel, visit },
  act,
  plain = false,
  label,
  spoken,
  children,
}: {
  readonly acted: Acted;
  readonly act: Act['kind'];
  /** Without the prominence of what an alarm asks for. */
  readonly plain?: boolean;
  readonly label: string;
  readonly spoken: (alarm: string, vessel: string) => string;
  readonly children?: Child;
}) => (
  <PostForm
    class="acknowledge"
    action={`/cellars/${visit.cellar.cellar}/vessels/${vessel.vessel}/alarms/${encodeURIComponent(alarm.alarm)}/${act}`}
  >
    {children}
    <button
      type="submit"
      class={plain ? 'second' : undefined}
      aria-label={spoken(alarmWords[alarm.kind], vessel.title)}
    >
      {label}
    </button>
  </PostForm>
);

const Note = ({ id, act }: { readonly id: string; readonly act: Act['kind'] }) => (
  <NoteField
    form={act === 'acknowledge' ? id : `${id}-${act}`}
    name="note"
    label={alarmCardWords.note}
    hint={alarmCardWords.noteHint}
  />
);

const Acknowledge = (acted: Acted) => (
  <ActForm
    acted={acted}
    act="acknowledge"
    label={alarmCardWords.acknowledge}
    spoken={alarmCardWords.acknowledgeThis}
  >
    <Note id={acted.id} act="acknowledge" />
  </ActForm>
);

const Reset = (acted: Acted) => (
  <>
    <p class="hint">{alarmActWords.resetLead}</p>
    <ActForm acted={acted} act="reset" label={alarmActWords.reset} spoken={alarmActWords.resetThis}>
      <Note id={acted.id} act="reset" />
    </ActForm>
  </>
);

const BringBack = (acted: Acted) => {
  switch (acted.alarm.state) {
    case 'shelved':
      return (
        <ActForm
          acted={acted}
          act="unshelve"
          plain
          label={alarmActWords.unshelve}
          spoken={alarmActWords.unshelveThis}
        >
          <Note id={acted.id} act="unshelve" />
        </ActForm>
      );
    case 'out-of-service':
      return (
        <ActForm
          acted={acted}
          act="return-to-service"
          plain
          label={alarmActWords.putBack}
          spoken={alarmActWords.putBackThis}
        >
          <Note id={acted.id} act="return-to-service" />
        </ActForm>
      );
    default:
      return null;
  }
};

const SetAside = (acted: Acted) => {
  const { alarm, id } = acted;
  const longestHours = longestShelfSeconds[alarm.priority] / 3600;
  return (
    <details class="disclosure set-aside" id={`${id}-aside`}>
      <summary>{alarmActWords.aside}</summary>
      <p class="hint">{alarmActWords.asideLead}</p>
      <ActForm
        acted={acted}
        act="shelve"
        plain
        label={alarmActWords.shelve}
        spoken={alarmActWords.shelveThis}
      >
        <SelectField
          form={`${id}-shelve`}
          name="hours"
          label={alarmActWords.shelveFor}
          hint={alarmActWords.shelveHint}
          options={shelfHours
            .filter((hours) => hours <= longestHours)
            .map((hours) => ({ value: String(hours), words: alarmActWords.hours(hours) }))}
        />
        <Note id={id} act="shelve" />
      </ActForm>
      <ActForm
        acted={acted}
        act="remove-from-service"
        plain
        label={alarmActWords.remove}
        spoken={alarmActWords.removeThis}
      >
        <NoteField
          form={`${id}-remove`}
          name="reason"
          label={alarmActWords.reason}
          hint={alarmActWords.reasonHint}
          required
        />
      </ActForm>
    </details>
  );
};

/** What the state of an alarm lets this person do. */
export const AlarmActs = (acted: Acted) => {
  const { alarm, visit } = acted;
  const mayAct = visit.role === 'operator' || visit.role === 'keeper';
  const toAcknowledge =
    alarm.state === 'unacknowledged' ||
    alarm.state === 'returned-unacknowledged' ||
    alarm.state === 'latched-unacknowledged';
  if (!mayAct) return toAcknowledge ? <p class="hint">{alarmCardWords.viewer}</p> : null;
  return (
    <>
      {alarm.state === 'latched-unacknowledged' ? (
        <p class="hint">{alarmActWords.resetLater}</p>
      ) : null}
      {toAcknowledge ? <Acknowledge {...acted} /> : null}
      {alarm.state === 'latched-acknowledged' ? <Reset {...acted} /> : null}
      {isSetAside(alarm.state) ? <BringBack {...acted} /> : <SetAside {...acted} />}
    </>
  );
};
