/** Alarms on the phone in one's hand: a button that a script brings to life. Props in, HTML out. */
import { pushWords as words } from '../messages.ts';

type PushSectionProps = {
  /** The cellar's public key for push, in base64url. */
  readonly pushKey: string;
  readonly root: string;
};

export const PushSection = ({ pushKey, root }: PushSectionProps) => (
  <section id="push" data-key={pushKey} data-root={root}>
    <h2>{words.title}</h2>
    <p class="hint">{words.lead}</p>
    <p id="push-state" role="status">
      {words.needsScript}
    </p>
    <button type="button" id="push-on" hidden>
      {words.turnOn}
    </button>
    <button type="button" id="push-off" class="second" hidden>
      {words.turnOff}
    </button>
  </section>
);
