/** That Gyleward itself was away, for a day after its return. Props in, HTML out. */
import type { Absence } from '../../storage/absence.ts';
import { awayWords } from '../messages.ts';
import { Moment } from './moment.tsx';

/** Chosen by us: a person who looks in once a day still reads it. */
const toldSeconds = 86_400;

/** The latest of the absences that is still told; null where there is none. */
export const absenceToTell = (
  absences: readonly (Absence | null | undefined)[],
  now: number,
): Absence | null =>
  absences
    .filter((absence) => absence !== null && absence !== undefined)
    .filter((absence) => now - absence.to < toldSeconds)
    .toSorted((one, other) => other.to - one.to)[0] ?? null;

export const Away = ({ absence }: { readonly absence: Absence | null }) =>
  absence === null ? null : (
    <p class="left-notice" id="away">
      {`${awayWords.from} `}
      <Moment at={absence.from} />
      {` ${awayWords.to} `}
      <Moment at={absence.to} />
      {`. ${awayWords.what}`}
    </p>
  );
