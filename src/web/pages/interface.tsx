/** The interface for programs, read by a person: every operation with a line to paste. Props in, HTML out. */
import { curlLine } from '../interface/curl-line.ts';
import { whoInWords } from '../interface/document.ts';
import type { Operation } from '../interface/operation.ts';
import { operations } from '../interface/operations.ts';
import { refusalsOf, refusalWords } from '../interface/refusals.ts';
import { interfaceWords } from '../messages.ts';
import { Layout, type Visit } from './layout.tsx';

const One = ({ operation, origin }: { readonly operation: Operation; readonly origin: string }) => {
  const { id, method, path, title, words, who, bodies = {}, answer, query } = operation;
  const line = curlLine(operation, origin);
  return (
    <details class="operation" id={id}>
      <summary>
        <span>
          {title} <code>{`${method.toUpperCase()} ${path}`}</code>
        </span>
      </summary>
      {words === undefined ? null : <p>{words}</p>}
      <p>{whoInWords(who)}</p>
      {query === undefined ? null : (
        <p>{interfaceWords.query(Object.keys(query.shape).join(', '))}</p>
      )}
      {Object.keys(bodies).length === 0 ? null : (
        <p>{interfaceWords.takes(Object.keys(bodies).join(', '))}</p>
      )}
      <p>{interfaceWords.answers(answer.status, answer.words)}</p>
      <pre class="scroller" tabindex={0}>
        <code>{line}</code>
      </pre>
      {refusalsOf(operation).length === 0 ? null : (
        <dl>
          {refusalsOf(operation).map((status) => (
            <div class="refusal">
              <dt>{status}</dt>
              <dd>{refusalWords[status]}</dd>
            </div>
          ))}
        </dl>
      )}
    </details>
  );
};

export const interfacePage = ({
  visit,
  origin,
}: {
  readonly visit: Visit | null;
  /** Of this server, for the lines to paste. */
  readonly origin: string;
}) => {
  const groups = Map.groupBy(operations, ({ group }) => group);
  return (
    <Layout title={interfaceWords.title} visit={visit}>
      <div class="opening">
        <h1>{interfaceWords.title}</h1>
        <p class="lead">{interfaceWords.lead}</p>
        <p>
          <a class="far-link" href="/v1/openapi.json">
            {interfaceWords.document}
          </a>
        </p>
      </div>
      {[...groups].map(([group, own]) => (
        <section class="operations">
          <h2>{group}</h2>
          {own.map((operation) => (
            <One operation={operation} origin={origin} />
          ))}
        </section>
      ))}
    </Layout>
  );
};
