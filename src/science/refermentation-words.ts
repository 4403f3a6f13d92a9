/**
 * The verdict on a drink in its keg as sentences, with the numbers that a person can check and act on.
 *
 * Sources of the advice: OIV II.3.4.5 for sorbic acid (at most 200 mg/L, only with sound free sulphur dioxide;
 * it does not kill yeast and does nothing against bacteria). 4 °C for the cold chain: common practice, no
 * source. Pure: no I/O, no clock, no randomness.
 */
import type { RefermentationInput, RefermentationVerdict } from './refermentation.ts';

export const refermentationCaution =
  'A vessel above its rating can burst and injure. The nameplate and a working relief device decide what it may hold; local codes and licensed practice stand above this advice. Never take a calculated pressure for a measured one.';

const bar = (pascal: number | null): string =>
  pascal === null ? 'more than 11 bar' : `${(pascal / 1e5).toFixed(2)} bar`;

const gramPerLitre = (value: number): string => `${value.toFixed(1)} g/L`;

export const refermentationWords = (
  verdict: RefermentationVerdict,
  input: RefermentationInput,
  quiet: number | null,
  greatest: number | null,
): string => {
  const warmest = `${input.warmestCelsius} °C`;
  const rating = bar(input.ratedGaugePressurePascal ?? 0);
  const fermentable = gramPerLitre(input.fermentableGramPerLitre);
  const against = (pascal: number | null): string =>
    pascal === null || pascal > (input.ratedGaugePressurePascal ?? 0)
      ? `above its rating of ${rating}`
      : `too close to its rating of ${rating} for a calculation good to 6 %`;
  switch (verdict) {
    case 'no-rating':
      return `No rating is known for this vessel. At ${warmest} it would reach ${bar(quiet)} gauge as filled and ${bar(greatest)} gauge if its ${fermentable} of fermentable extract fermented. Read the nameplate before filling.`;
    case 'within-rating':
      return `Even if all ${fermentable} of fermentable extract fermented, at ${warmest} it would reach ${bar(greatest)} gauge, within its rating of ${rating} by more than the calculation's doubt of 6 %.`;
    case 'too-much-if-it-referments':
      return input.yeast === 'removed'
        ? `Its yeast was removed, so it should stay at ${bar(quiet)} gauge at ${warmest}. If any yeast got in, its ${fermentable} of fermentable extract could take it to ${bar(greatest)} gauge, ${against(greatest)}.`
        : `With yeast in it, its ${fermentable} of fermentable extract could take it to ${bar(greatest)} gauge at ${warmest}, ${against(greatest)}. As filled it would stay at ${bar(quiet)}.`;
    case 'too-much-when-warm':
      return `The gas it is filled with alone takes it to ${bar(quiet)} gauge at ${warmest}, ${against(quiet)}; refermentation could take it to ${bar(greatest)}.`;
    case 'liquid-full':
      return `At ${warmest} the liquid would fill the vessel to the brim, and the pressure would have no bound. It must not be filled so far.`;
  }
};

/** What would change the verdict. */
export const refermentationRemedies = (
  verdict: RefermentationVerdict,
  input: RefermentationInput,
  tolerable: number | null,
  safeBelow: number | null,
): readonly string[] => {
  if (verdict === 'within-rating') return [];
  if (verdict === 'liquid-full') {
    return [
      'Leave more headspace, or keep it cold enough that the liquid does not fill the vessel.',
    ];
  }
  const remedies: string[] = [];
  if (verdict === 'no-rating') {
    remedies.push('Find the rated pressure on the nameplate; without one, do not pressurise it.');
  }
  if (verdict === 'too-much-when-warm') {
    remedies.push('Fill it with less carbon dioxide, or into a vessel of a higher rating.');
  }
  if (tolerable !== null) {
    remedies.push(
      `Let it attenuate further before filling: ${gramPerLitre(tolerable)} of fermentable extract is the most this vessel bears at ${input.warmestCelsius} °C, ${gramPerLitre(Math.max(0, input.fermentableGramPerLitre - tolerable))} less than there is.`,
    );
  }
  remedies.push(
    safeBelow === null
      ? 'A cold chain does not help on its own: even near freezing, full refermentation passes the rating or cannot be judged. Cold only slows the yeast.'
      : `Keep it below ${safeBelow.toFixed(0)} °C without a break: at rest below that, even full refermentation stays within the rating. At 4 °C or colder most yeast also stands still.`,
    'Filter it sterile or heat it in the closed pack, and fill it clean; a filter that lets yeast through changes nothing.',
    'Stabilise it: sorbic acid, at most 200 mg/L and only with enough free sulphur dioxide, keeps yeast from multiplying; it neither kills yeast nor stops bacteria, and it is no remedy for a drink that is still fermenting.',
    'Use a vessel rated for the pressure named above, with a relief device set at or below its rating.',
  );
  return remedies;
};
