/**
 * Scores answers against labels by the definitions of fixtures/bench/score.py, under the same names, so that a reader
 * can hold the two side by side. Pure: no I/O, no clock.
 */
import type { Answers } from './answers.ts';
import { count } from './figures.ts';
import type { Labels } from './labels.ts';
import { scoreForecasts } from './score-forecasts.ts';
import { scorePressure } from './score-pressure.ts';
import { scoreSensors } from './score-sensors.ts';
import { scoreFalseStalls, scoreStalls } from './score-stalls.ts';

export type Score = ReturnType<typeof scoreOf>;

export const scoreOf = ({ batches, vessels }: Labels, answers: Answers) => ({
  input: {
    batches_answered: count(batches, ({ batch }) => answers.answered(batch)),
    of: batches.length,
    vessels_answered: count(vessels, ({ batch }) => answers.answered(batch)),
    of_vessels: vessels.length,
    malformed: answers.malformed,
  },
  stall: scoreStalls(batches, answers),
  false_stall: scoreFalseStalls(batches, answers),
  forecast: scoreForecasts(batches, answers),
  sensor_and_temperature: scoreSensors(batches, answers),
  pressure: scorePressure(vessels, answers),
});
