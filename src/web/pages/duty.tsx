/** Whom a receiver is told of, and when: in words, and as a form. Props in, HTML out. */
import { type Duty, priorities } from '../../monitoring/alarms/duty.ts';
import { weekdays } from '../../monitoring/alarms/duty-hours.ts';
import type { Vessel } from '../../monitoring/vessel.ts';
import { dutyWords as words } from '../messages.ts';
import { Disclosure } from './disclosure.tsx';
import { CheckField, PostForm, type Refused, TextField } from './form.tsx';

type DutyProps = {
  readonly duty: Duty;
  readonly vessels: readonly Vessel[];
  /** Where the form is sent to. */
  readonly action: string;
  readonly refused: Refused | undefined;
};

/** The duty as the form's fields hold it. */
const fieldsOf = ({ priorities: taken, vessels, hours, afterMinutes }: Duty) => ({
  priorities: taken.join(' '),
  vessels: vessels?.join(' ') ?? '',
  from: hours?.from ?? '',
  to: hours?.to ?? '',
  zone: hours?.zone ?? '',
  days: (hours?.days ?? weekdays).join(' '),
  afterMinutes: afterMinutes === 0 ? '' : String(afterMinutes),
});

const Checks = ({
  name,
  legend,
  hint,
  options,
  values,
  problem,
}: {
  readonly name: string;
  readonly legend: string;
  readonly hint?: string | undefined;
  readonly options: readonly { readonly value: string; readonly words: string }[];
  readonly values: Readonly<Record<string, string>>;
  readonly problem: string | undefined;
}) => {
  const ticked = values[name]?.split(' ') ?? [];
  return (
    <fieldset class="whole-row" id={`duty-${name}`}>
      <legend>{legend}</legend>
      {hint === undefined ? null : <p class="hint">{hint}</p>}
      {problem === undefined ? null : <p class="problem">{problem}</p>}
      <div class="checks">
        {options.map((option) => (
          <CheckField
            form="duty"
            name={name}
            value={option.value}
            label={option.words}
            checked={ticked.includes(option.value)}
          />
        ))}
      </div>
    </fieldset>
  );
};

export const DutySection = ({ duty, vessels, action, refused }: DutyProps) => {
  const shown: Refused = refused ?? { problems: {}, values: fieldsOf(duty) };
  const field = { form: 'duty', refused: shown };
  const titles = (duty.vessels ?? []).map(
    (name) => vessels.find(({ vessel }) => vessel === name)?.title ?? name,
  );
  return (
    <section id="duty">
      <h2>{words.title}</h2>
      <p>{words.inWords(duty, titles)}</p>
      <Disclosure title={words.change} form="duty" refused={refused}>
        <PostForm action={action} class="grid-form">
          <Checks
            name="priorities"
            legend={words.priorities}
            options={priorities.map((value) => ({ value, words: words.priority[value] }))}
            values={shown.values}
            problem={shown.problems.priorities}
          />
          <TextField
            {...field}
            name="afterMinutes"
            decimal
            label={words.after}
            hint={words.afterHint}
          />
          {vessels.length === 0 ? null : (
            <Checks
              name="vessels"
              legend={words.vessels}
              hint={words.vesselsHint}
              options={vessels.map(({ vessel, title }) => ({ value: vessel, words: title }))}
              values={shown.values}
              problem={shown.problems.vessels}
            />
          )}
          <TextField {...field} name="from" label={words.from} hint={words.fromHint} />
          <TextField {...field} name="to" label={words.to} hint={words.toHint} />
          <TextField {...field} name="zone" label={words.zone} hint={words.zoneHint} />
          <Checks
            name="days"
            legend={words.days}
            hint={words.daysHint}
            options={weekdays.map((value) => ({ value, words: words.day[value] }))}
            values={shown.values}
            problem={shown.problems.days}
          />
          <div class="whole-row">
            <button type="submit">{words.save}</button>
          </div>
        </PostForm>
      </Disclosure>
    </section>
  );
};
