/** The door: one field for a key, and what was wrong with the last one. Props in, HTML out. */
import { signInWords } from '../messages.ts';
import { PostForm, TextField } from './form.tsx';
import { Layout } from './layout.tsx';

export const signInPage = ({ problem }: { readonly problem?: string | undefined }) => (
  <Layout title={signInWords.title} visit={null} here="sign-in">
    <section class="door">
      <h1>{signInWords.title}</h1>
      <p class="lead">{signInWords.lead}</p>
      <PostForm action="/sign-in">
        <TextField
          form="sign-in"
          name="key"
          type="password"
          autocomplete="current-password"
          required
          label={signInWords.key}
          hint={signInWords.hint}
          refused={problem === undefined ? undefined : { problems: { key: problem }, values: {} }}
        />
        <button type="submit">{signInWords.submit}</button>
      </PostForm>
    </section>
  </Layout>
);
