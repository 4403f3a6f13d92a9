/**
 * Could a drink burst its keg? What its fermentable extract would do if yeast took it, at the warmest
 * temperature the keg may see, held against the rating; and what would change that, with numbers.
 *
 * Two yields: likely 0.463 g of gas per g of extract (Balling, part goes into yeast) and greatest 0.514
 * (sucrose or maltose by stoichiometry, nothing into yeast; gas-evolved.ts). The verdict takes the
 * greatest. Pressures by headspace.ts, whose solubility is good to 6 %; so are these, and a pressure
 * closer than that to the rating is judged as too much. The change of the drink by its own
 * refermentation (more alcohol, less extract) is dropped.
 * Alcohol above 16 to 18 % vol stops most wine yeast (from memory) and is not relied upon.
 * Gyleward advises: the nameplate, the relief device, local codes and licensed practice decide.
 * Pure: no I/O, no clock, no randomness.
 */
import { fail, ok, type Result } from '../result.ts';
import { carbonDioxidePerExtract } from './balling.ts';
import { drinkBounds } from './drink-density.ts';
import { firstOutside, type ScienceFault } from './fault.ts';
import { greatestYield } from './gas-evolved.ts';
import {
  type ClosedVessel,
  type ClosedVesselState,
  closedVesselAtRest,
  totalCarbonDioxideGram,
} from './headspace.ts';
import {
  refermentationCaution,
  refermentationRemedies,
  refermentationWords,
} from './refermentation-words.ts';

export type RefermentationInput = {
  readonly vessel: ClosedVessel;
  /** From the nameplate; null where there is none. */
  readonly ratedGaugePressurePascal: number | null;
  /** In the liquid as filled. */
  readonly carbonDioxideGramPerLitre: number;
  readonly fermentableGramPerLitre: number;
  readonly warmestCelsius: number;
  /** removed: filtered sterile or heated, and filled so; anything else is present. */
  readonly yeast: 'present' | 'removed';
};

export type RefermentationVerdict =
  /** No rating is known: the pressures stand, and nothing is judged. */
  | 'no-rating'
  /** Even with all of it fermented, warm, it stays within the rating by more than the doubt of 6 %. */
  | 'within-rating'
  /** Quiet it stays within; fermented out it passes the rating or comes too close to it. */
  | 'too-much-if-it-referments'
  /** The gas it was filled with already passes the rating, or comes too close, when warm. */
  | 'too-much-when-warm'
  /** The liquid fills the vessel when warm: the pressure has no bound. */
  | 'liquid-full';

export type Refermentation = {
  readonly verdict: RefermentationVerdict;
  /** Gauge pressures at the warmest temperature; null above what can be calculated, some 11 bar. */
  readonly withoutRefermentationPascal: number | null;
  readonly likelyPascal: number | null;
  readonly greatestPascal: number | null;
  /** Greatest pressure over the rating; null without a rating or a pressure. */
  readonly shareOfRating: number | null;
  /** Most fermentable extract, g/L, that stays within the rating at the warmest temperature. */
  readonly tolerableFermentableGramPerLitre: number | null;
  /** Warmest temperature at which even full refermentation stays within the rating; null if none. */
  readonly staysWithinBelowCelsius: number | null;
  readonly words: string;
  /** What would change the verdict, each a sentence. */
  readonly remedies: readonly string[];
  readonly caution: string;
};

type Rest =
  | { readonly kind: 'rest'; readonly state: ClosedVesselState }
  | { readonly kind: 'beyond' }
  | { readonly kind: 'full' };

const coldestCelsius = -2;

/**
 * How far a calculated absolute pressure may be from the true one: published solubilities of one drink
 * differ by this much (solubility.ts). A larger share makes the verdict stricter.
 */
const doubt = 0.06;

/** Halves an interval until the last value that holds is known to a thousandth. */
const lastThatHolds = (low: number, high: number, holds: (value: number) => boolean): number => {
  let good = low;
  let bad = high;
  for (let round = 0; round < 40; round += 1) {
    const middle = (good + bad) / 2;
    if (holds(middle)) good = middle;
    else bad = middle;
  }
  return good;
};

/** The pressure a drink could reach in its closed vessel, and the verdict. */
export const refermentation = (
  input: RefermentationInput,
): Result<Refermentation, ScienceFault> => {
  const { vessel } = input;
  const rating = input.ratedGaugePressurePascal;
  const fault = firstOutside([
    ...drinkBounds(vessel.drink),
    ['filledAtCelsius', vessel.filledAtCelsius, -2, 45, '°C'],
    ['carbonDioxideGramPerLitre', input.carbonDioxideGramPerLitre, 0, 16, 'g/L'],
    [
      'fermentableGramPerLitre',
      input.fermentableGramPerLitre,
      0,
      vessel.drink.extractGramPerLitre,
      'g/L',
    ],
    ['warmestCelsius', input.warmestCelsius, vessel.filledAtCelsius, 45, '°C'],
    ['ratedGaugePressurePascal', rating ?? 1000, 1000, 2_000_000, 'Pa'],
  ]);
  if (fault) return fail(fault);

  // The vessel is filled with liquid of this content; its headspace is taken to be at rest with it.
  const liquid = vessel.vesselVolumeLitre - vessel.headspaceLitre;
  const filled = filledGram(vessel, input.carbonDioxideGramPerLitre);
  if (!filled.ok) return filled;
  const restWith = (
    fermentable: number,
    yieldGram: number,
    celsius: number,
  ): Result<Rest, ScienceFault> => {
    const state = closedVesselAtRest(
      vessel,
      filled.value + fermentable * yieldGram * liquid,
      celsius,
    );
    if (state.ok) return ok({ kind: 'rest', state: state.value });
    if (state.fault.kind === 'liquid-full') return ok({ kind: 'full' });
    return state.fault.kind === 'outside-range' && state.fault.field === 'carbonDioxideGram'
      ? ok({ kind: 'beyond' })
      : state;
  };
  const quiet = restWith(0, 0, input.warmestCelsius);
  if (!quiet.ok) return quiet;
  const likely = restWith(
    input.fermentableGramPerLitre,
    carbonDioxidePerExtract,
    input.warmestCelsius,
  );
  if (!likely.ok) return likely;
  const greatest = restWith(
    input.fermentableGramPerLitre,
    greatestYield.sucrose,
    input.warmestCelsius,
  );
  if (!greatest.ok) return greatest;

  const gauge = (rest: Rest): number | null =>
    rest.kind === 'rest' ? rest.state.gaugePressurePascal : null;
  const isWithin = (fermentable: number, celsius: number): boolean => {
    const rest = restWith(fermentable, greatestYield.sucrose, celsius);
    return (
      rating !== null &&
      rest.ok &&
      rest.value.kind === 'rest' &&
      rest.value.state.gaugePressurePascal + doubt * rest.value.state.absolutePressurePascal <=
        rating
    );
  };

  const verdict: RefermentationVerdict =
    quiet.value.kind === 'full'
      ? 'liquid-full'
      : rating === null
        ? 'no-rating'
        : isWithin(input.fermentableGramPerLitre, input.warmestCelsius)
          ? 'within-rating'
          : isWithin(0, input.warmestCelsius)
            ? 'too-much-if-it-referments'
            : 'too-much-when-warm';

  const judged = rating !== null && verdict !== 'liquid-full';
  const tolerable =
    judged && isWithin(0, input.warmestCelsius)
      ? lastThatHolds(0, 100, (fermentable) => isWithin(fermentable, input.warmestCelsius))
      : null;
  const safeBelow =
    judged && isWithin(input.fermentableGramPerLitre, coldestCelsius)
      ? verdict === 'within-rating'
        ? lastThatHolds(input.warmestCelsius, 45, (celsius) =>
            isWithin(input.fermentableGramPerLitre, celsius),
          )
        : lastThatHolds(coldestCelsius, input.warmestCelsius, (celsius) =>
            isWithin(input.fermentableGramPerLitre, celsius),
          )
      : null;

  const greatestPascal = gauge(greatest.value);
  return ok({
    verdict,
    withoutRefermentationPascal: gauge(quiet.value),
    likelyPascal: gauge(likely.value),
    greatestPascal,
    shareOfRating: rating !== null && greatestPascal !== null ? greatestPascal / rating : null,
    tolerableFermentableGramPerLitre: tolerable,
    staysWithinBelowCelsius: safeBelow,
    words: refermentationWords(verdict, input, gauge(quiet.value), greatestPascal),
    remedies: refermentationRemedies(verdict, input, tolerable, safeBelow),
    caution: refermentationCaution,
  });
};

/** All gas in the vessel as filled: the liquid's content and a headspace at rest with it, g. */
const filledGram = (
  vessel: ClosedVessel,
  carbonDioxideGramPerLitre: number,
): Result<number, ScienceFault> => {
  const liquid = vessel.vesselVolumeLitre - vessel.headspaceLitre;
  const wanted = carbonDioxideGramPerLitre;
  // At rest the liquid's content rises with the whole content: scaling homes in by a digit a round.
  let gram = wanted * liquid;
  for (let round = 0; round < 60; round += 1) {
    const state = closedVesselAtRest(vessel, gram, vessel.filledAtCelsius);
    if (!state.ok) return state;
    const has = state.value.carbonDioxideGramPerLitre;
    if (wanted === 0 || Math.abs(has - wanted) < 1e-9 * wanted) {
      return ok(totalCarbonDioxideGram(state.value));
    }
    gram *= wanted / has;
  }
  return ok(gram);
};
