/** The one number of a vessel with its unit and age, and what is said beside it. Props in, HTML out. */
import type { Headline } from './headline.ts';
import { Age } from './moment.tsx';
import { Way } from './way.tsx';

export const Figure = ({ number, now }: { readonly number: Headline; readonly now: number }) => (
  <>
    <p class="figure">
      {number.figure}
      <span class="unit">{`\u00a0${number.unit}`}</span>
    </p>
    <p class="figure-label">
      {number.label}
      {number.readAt === null ? null : (
        <>
          {', '}
          <Age at={number.readAt} now={now} />
        </>
      )}
    </p>
  </>
);

/** How far the number has come, and the further figures that belong to it. */
export const Beside = ({ number }: { readonly number: Headline }) => (
  <>
    {number.way === null ? null : (
      <>
        <Way way={number.way} />
        <p class="way-words">{number.way.words}</p>
      </>
    )}
    <p class="listed beside">
      {number.beside.map((part) => (
        <span>{part}</span>
      ))}
    </p>
  </>
);
