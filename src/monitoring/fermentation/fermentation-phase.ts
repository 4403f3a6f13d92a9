/**
 * The phase of a fermentation, from the one before and what is seen. A finished or stalled fermentation goes back
 * to work only by a fall that nobody can mistake. Pure: no I/O, no clock.
 */
import type { FermentationMemory } from './fermentation-memory.ts';
import type { FermentationSigns } from './fermentation-signs.ts';
import { type Pace, stallSettings } from './stall.ts';

/** Gravity counts as still when it moves less than this in two days: 0.1 °P. Common practice, no source. */
const stillPoints = 0.4;
export const stillHours = 48;

/** Share of the expected fall below which stillness is no finish. Chosen by us. */
const finishedShare = 0.6;

/** Points of renewed fall that make a restart. Chosen by us: more than foam or temperature feign. */
const restartPoints = 1.5;

export const phaseOf = (
  before: Pick<FermentationMemory, 'phase' | 'restedAt'>,
  signs: FermentationSigns,
  judged: Pace | null,
): FermentationMemory['phase'] => {
  switch (before.phase) {
    case 'waiting':
      if (judged?.verdict === 'stopped') return 'stalled';
      return signs.fallen >= 2 && judged?.verdict === 'moving' ? 'active' : 'waiting';
    case 'active':
      if (judged?.verdict === 'stopped') return 'stalled';
      return isFinished(signs, judged) ? 'finished' : 'active';
    case 'stalled':
    case 'finished':
      return hasRestarted(before, signs, judged) ? 'active' : before.phase;
  }
};

const hasRestarted = (
  { restedAt }: Pick<FermentationMemory, 'restedAt'>,
  signs: FermentationSigns,
  judged: Pace | null,
): boolean =>
  judged !== null &&
  judged.verdict === 'moving' &&
  judged.trend !== null &&
  restedAt !== null &&
  restedAt - signs.level > restartPoints;

const isFinished = (signs: FermentationSigns, judged: Pace | null): boolean => {
  if (signs.course.unsettled) return false;
  // Gas still comes, or much is still left: then stillness is a pause or a stall, but no finish.
  if (judged !== null && judged.verdict === 'moving' && judged.trend === null) return false;
  if (judged !== null && judged.sureDistance >= stallSettings.plain.leastDistance) return false;
  const due =
    signs.terminal === null ? signs.original * 0.6 : signs.original - signs.terminal.points;
  if (signs.fallen < finishedShare * due) return false;
  return signs.trends.some(
    ({ window, trend }) =>
      window >= stillHours &&
      Math.abs(trend.slope) * stillHours <= stillPoints &&
      trend.slopeError * stillHours <= stillPoints,
  );
};
