/**
 * A drink as what it is made of, in grams, and the volume those parts fill at 20 °C.
 *
 * Masses add up where volumes do not: alcohol and water contract by up to 3.6 % on mixing. The volume is
 * the mass over the density of drink-density.ts, which itself asks for contents per litre, so it is found
 * by iteration. Pure: no I/O, no clock, no randomness.
 */
import { drinkDensityAt20 } from './drink-density.ts';
import { pureEthanolDensity } from './ethanol-density.ts';

export type Parts = {
  /** All of it, water too. */
  readonly mass: number;
  /** Real extract. */
  readonly extract: number;
  readonly alcohol: number;
};

/** % vol of alcohol in a volume. */
export const strengthOf = (parts: Parts, volumeLitre: number): number =>
  (100 * parts.alcohol) / (volumeLitre * pureEthanolDensity);

/** Litres at 20 °C. The caller has checked the range. */
export const volumeOf = (parts: Parts): number => {
  // Ideal mixing to begin with: water, alcohol, and sugar as dense as it is in a thick syrup.
  let volume =
    (parts.mass - parts.alcohol - parts.extract) / 998.2 +
    parts.alcohol / pureEthanolDensity +
    parts.extract / 1590;
  // Volume moves density by a few per mille a round: a dozen rounds settle it to 1e-12.
  for (let round = 0; round < 40; round += 1) {
    const next =
      parts.mass /
      drinkDensityAt20({
        // Contraction may pass through more than pure alcohol on the way.
        alcoholByVolumePercent: Math.min(100, strengthOf(parts, volume)),
        extractGramPerLitre: parts.extract / volume,
      });
    if (Math.abs(next - volume) <= 1e-13 * volume) return next;
    volume = next;
  }
  return volume;
};
