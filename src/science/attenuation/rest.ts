/**
 * Is the end that the curve tends to the end of fermentation, or a pause? A stuck yeast, a second sugar or a slow
 * tail look like an end. Two accounts are weighed: the curve's end is terminal gravity and agrees with what was
 * believed of that; or it is a pause, which may lie anywhere, and terminal gravity is still what was believed.
 * Bayes' rule with a normal belief against a flat one. Assumption without source: the flat belief and its share.
 * Pure: no I/O, no clock, no randomness.
 */
import { pauseShare } from './beliefs.ts';

type Normal = { readonly value: number; readonly sd: number };

/**
 * Share of belief in a pause. `seen` is terminal gravity as fitted with the belief, `believed` that belief,
 * `highest` the gravity before fermentation.
 */
export const pauseBelief = (seen: Normal, believed: Normal, highest: number): number => {
  const span = Math.max(0.005, highest - believed.value);
  // The belief taken out again leaves what the curve alone says.
  const precision = 1 / seen.sd ** 2 - 1 / believed.sd ** 2;
  const widest = span / 2;
  if (precision <= 1 / widest ** 2) return pauseShare;
  const alone = Math.max(
    believed.value,
    (seen.value / seen.sd ** 2 - believed.value / believed.sd ** 2) / precision,
  );
  const sd = Math.sqrt(believed.sd ** 2 + 1 / precision);
  const away = (alone - believed.value) / sd;
  const odds = (span * Math.exp(-0.5 * away * away)) / (sd * Math.sqrt(2 * Math.PI));
  return pauseShare / (pauseShare + (1 - pauseShare) * odds);
};
