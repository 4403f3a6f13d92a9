/**
 * A form behind its own title: closed until it is wanted, open where it was refused, with a summary
 * of the problems that leads to each field. Props in, HTML out.
 */
import type { Child } from 'hono/jsx';
import { setUpWords } from '../messages.ts';
import { fieldId, type Refused } from './form.tsx';

export const Disclosure = ({
  title,
  form,
  refused,
  open = false,
  children,
}: {
  readonly title: string;
  readonly form: string;
  readonly refused: Refused | undefined;
  readonly open?: boolean;
  readonly children?: Child;
}) => (
  <details class="disclosure" id={`${form}-form`} open={open || refused !== undefined}>
    <summary>{title}</summary>
    {refused === undefined ? null : (
      <div class="refused" role="alert">
        <p>
          <strong>{setUpWords.refused(Object.keys(refused.problems).length)}</strong>
        </p>
        <ul>
          {Object.entries(refused.problems).map(([name, problem]) => (
            <li>
              <a href={`#${fieldId(form, name)}`}>{problem}</a>
            </li>
          ))}
        </ul>
      </div>
    )}
    {children}
  </details>
);
