/** A secret that was just made, shown this once. Props in, HTML out. */
import { setUpWords } from '../messages.ts';

export type ShownSecret = {
  readonly kind: 'key' | 'receiver';
  readonly title: string;
  readonly secret: string;
};

export const SecretShown = ({ kind, title, secret }: ShownSecret) => (
  <section class="secret" role="status">
    <h2>{kind === 'key' ? setUpWords.secretKey(title) : setUpWords.secretReceiver(title)}</h2>
    <p>
      <code>{secret}</code>
    </p>
    <p>{setUpWords.secretOnce}</p>
  </section>
);
