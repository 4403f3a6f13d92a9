/** What went wrong, in words, with a way back. Props in, HTML out. */
import { errorWords } from '../messages.ts';
import { Layout, type Visit } from './layout.tsx';

export type ErrorPageProps = {
  readonly status: number;
  readonly title: string;
  readonly detail: string;
  /** Known where the person is signed in. */
  readonly visit?: Visit | null | undefined;
};

export const errorPage = ({ status, title, detail, visit = null }: ErrorPageProps) => (
  <Layout title={title} visit={visit}>
    <section class="door">
      <p class="status-line">{errorWords.statusLine(status)}</p>
      <h1>{title}</h1>
      <p class="lead">{detail}</p>
      <p>
        <a class="button" href={visit === null ? '/' : `/cellars/${visit.cellar.cellar}`}>
          {errorWords.back}
        </a>
      </p>
    </section>
  </Layout>
);
