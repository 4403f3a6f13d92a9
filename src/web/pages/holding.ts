/** What is in a vessel, in one line: the batch, its drink, its stage, its day. Pure: no I/O, no clock. */
import { cellarWords, drinkWords, phaseWords, stageWords } from '../messages.ts';
import { type CellarRow, stageOf } from './headline.ts';

const daySeconds = 86_400;

/** The first day is day 1. */
const dayOf = (startedAt: number, now: number): number =>
  Math.max(1, Math.floor((now - startedAt) / daySeconds) + 1);

export const holding = (row: CellarRow, now: number): readonly string[] => {
  const stage = stageOf(row);
  if (row.batch === null) return [stage === 'workroom' ? stageWords.workroom : cellarWords.noBatch];
  const fermenting = stage === 'fermentation' ? row.status.fermentation?.phase : undefined;
  const phase = fermenting === 'active' ? undefined : fermenting;
  return [
    `${row.batch.title}, ${drinkWords[row.batch.drink]}`,
    ...(stage === null
      ? []
      : [phase === undefined ? stageWords[stage] : `${stageWords[stage]}, ${phaseWords[phase]}`]),
    cellarWords.day(dayOf(row.batch.startedAt, now)),
  ];
};
