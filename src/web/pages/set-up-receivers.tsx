/** Who is told of alarms, how the telling goes, and the form that adds one. Props in, HTML out. */
import { relayWords, setUpWords } from '../messages.ts';
import { Disclosure } from './disclosure.tsx';
import { AreaField, PostForm, type Refused, SelectField, TextField } from './form.tsx';

const words = setUpWords.fields;

export type ReceiverLine = {
  readonly id: string;
  readonly title: string;
  readonly url: string;
  /** Pieces of news that wait to be delivered, and those given up. */
  readonly waiting: number;
  readonly givenUp: number;
  /** What the last try came to, in words; null before the first. */
  readonly lastOutcome: string | null;
};

type ReceiverSectionProps = {
  readonly receivers: readonly ReceiverLine[];
  readonly root: string;
  readonly refused: Refused | undefined;
  readonly relayRefused: Refused | undefined;
};

const NameAndAddress = (field: {
  readonly form: string;
  readonly refused: Refused | undefined;
}) => (
  <>
    <TextField {...field} name="title" required label={words.receiver} />
    <TextField
      {...field}
      name="url"
      type="url"
      required
      label={words.address}
      hint={words.addressHint}
    />
  </>
);

/** The request to somebody's mail service. */
const RelayForm = ({ root, refused }: { root: string; refused: Refused | undefined }) => {
  const field = { form: 'relay', refused };
  return (
    <Disclosure title={relayWords.add} form="relay" refused={refused}>
      <p class="hint">{relayWords.lead}</p>
      <PostForm action={`${root}/receivers`} class="grid-form">
        <NameAndAddress {...field} />
        <SelectField
          {...field}
          name="method"
          label={relayWords.method}
          options={['POST', 'PUT'].map((value) => ({ value, words: value }))}
        />
        <SelectField
          {...field}
          name="contentType"
          label={relayWords.contentType}
          options={['application/json', 'application/x-www-form-urlencoded', 'text/plain'].map(
            (value) => ({ value, words: value }),
          )}
        />
        <TextField
          {...field}
          name="authorization"
          type="password"
          label={relayWords.authorization}
          hint={relayWords.authorizationHint}
        />
        <div class="whole-row">
          <AreaField {...field} name="body" label={relayWords.body} sample={relayWords.sample} />
          <button type="submit">{relayWords.add}</button>
        </div>
      </PostForm>
    </Disclosure>
  );
};

export const ReceiverSection = ({
  receivers,
  root,
  refused,
  relayRefused,
}: ReceiverSectionProps) => {
  const field = { form: 'receiver', refused };
  return (
    <section id="receivers">
      <h2>{setUpWords.receivers}</h2>
      <p class="hint">{setUpWords.receiversLead}</p>
      {receivers.length === 0 ? (
        <p>{setUpWords.noReceivers}</p>
      ) : (
        <ul class="ledger">
          {receivers.map((receiver) => (
            <li>
              <p class="ledger-name">
                <a href={`${root}/receivers/${encodeURIComponent(receiver.id)}`}>
                  {receiver.title}
                </a>
              </p>
              <p class="listed">
                <code>{receiver.url}</code>
                <span>{setUpWords.waiting(receiver.waiting)}</span>
                {receiver.givenUp === 0 ? null : (
                  <strong>{setUpWords.givenUp(receiver.givenUp)}</strong>
                )}
                <span>
                  {receiver.lastOutcome === null
                    ? setUpWords.neverTried
                    : setUpWords.lastTry(receiver.lastOutcome)}
                </span>
              </p>
            </li>
          ))}
        </ul>
      )}
      <Disclosure title={setUpWords.addReceiver} form="receiver" refused={refused}>
        <PostForm action={`${root}/receivers`} class="grid-form">
          <NameAndAddress {...field} />
          <div class="whole-row">
            <button type="submit">{setUpWords.addReceiver}</button>
          </div>
        </PostForm>
      </Disclosure>
      <RelayForm root={root} refused={relayRefused} />
    </section>
  );
};
