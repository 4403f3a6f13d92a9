/**
 * Which of the readings that arrived are judged. A reading from before the batch belongs to another
 * drink, or to an empty vessel: it is stored and shown, and raises nothing. Pure: no I/O, no clock.
 */
import type { Batch } from '../monitoring/batch.ts';
import type { StoredReading } from './reading-series.ts';

/**
 * Chosen by us: a batch is often entered hours after the vessel was filled. Less would leave its first
 * readings unjudged, more would judge those of the batch before.
 */
export const enteredLateSeconds = 86_400;

export const judgedReadings = (
  readings: readonly StoredReading[],
  batch: Batch | null,
): readonly StoredReading[] => {
  if (batch === null) return readings;
  const earliest = batch.startedAt - enteredLateSeconds;
  return readings.filter(({ time }) => time >= earliest);
};
