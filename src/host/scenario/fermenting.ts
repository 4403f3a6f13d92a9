/**
 * How an invented fermentation goes: yeast that wakes up, grows and takes the sugars one after another.
 *
 * Sugars: glucose, maltose and maltotriose with Monod uptake, each held back by the one before it:
 * J.-M. Engasser, I. Marc, M. Moll and B. Duteurtre, Proc. 18th Congr. Eur. Brew. Conv. (1981) 579.
 * Growth: P.-F. Verhulst (1838), towards what the wort's nutrients allow. Lag: J. Baranyi and T. A. Roberts,
 * Int. J. Food Microbiol. 23 (1994) 277, q/(1+q). Equations from memory; the rates are assumptions,
 * chosen so that an ale at 19 °C is done in five days and a lager at 12 °C in nine, within what
 * H. McGee, On Food and Cooking, gives for both. Dropped: by-products, oxygen, death of yeast.
 * No curve of the family that Gyleward fits is used, so that the demo is no test of a fit on itself.
 * Valid from 8 to 28 °C. Pure: no I/O, no clock, no randomness.
 */
export type Fermenting = {
  /** Yeast in suspension, g/L dry. */
  readonly yeastGramPerLitre: number;
  /** Baranyi's measure of readiness: far under 1 in the lag, far over 1 after it. */
  readonly readiness: number;
  readonly glucoseGramPerLitre: number;
  readonly maltoseGramPerLitre: number;
  readonly maltotrioseGramPerLitre: number;
};

/** Grams of fermentable sugar in a litre of wort of 12 °P; only shares of it reach the outside. */
export const sugarGramPerLitre = 80;
const shares = { glucose: 0.15, maltose: 0.62, maltotriose: 0.23 };

/** All rates per hour at 20 °C: assumptions. */
const rates = {
  growth: 0.08,
  mostYeastGramPerLitre: 4,
  pitchedGramPerLitre: 0.8,
  pitchedReadiness: 0.5,
  /** Grams of sugar per gram of yeast. */
  glucose: 0.42,
  maltose: 0.32,
  maltotriose: 0.14,
  halfSaturationGramPerLitre: 2,
  glucoseRepressionGramPerLitre: 3,
  maltoseRepressionGramPerLitre: 12,
  /** Share of the suspended yeast that drops while it drops early. */
  dropping: 0.12,
};

/** A rise of 10 K speeds yeast up 2.2 times: assumption, within the 2 to 2.5 that the trade counts on. */
const speedAt = (temperatureCelsius: number): number => 2.2 ** ((temperatureCelsius - 20) / 10);

export const pitched: Fermenting = {
  yeastGramPerLitre: rates.pitchedGramPerLitre,
  readiness: rates.pitchedReadiness,
  glucoseGramPerLitre: sugarGramPerLitre * shares.glucose,
  maltoseGramPerLitre: sugarGramPerLitre * shares.maltose,
  maltotrioseGramPerLitre: sugarGramPerLitre * shares.maltotriose,
};

/** Share of the fermentable sugar that is gone, 0 to 1. */
export const fermentedShare = (state: Fermenting): number =>
  1 -
  (state.glucoseGramPerLitre + state.maltoseGramPerLitre + state.maltotrioseGramPerLitre) /
    sugarGramPerLitre;

const changePerHour = (
  state: Fermenting,
  temperatureCelsius: number,
  dropping: boolean,
): Fermenting => {
  const speed = speedAt(temperatureCelsius);
  const awake = state.readiness / (1 + state.readiness);
  const uptake = (sugar: number, rate: number): number =>
    (-speed * awake * rate * state.yeastGramPerLitre * sugar) /
    (rates.halfSaturationGramPerLitre + sugar);
  const freeOfGlucose =
    rates.glucoseRepressionGramPerLitre /
    (rates.glucoseRepressionGramPerLitre + state.glucoseGramPerLitre);
  const freeOfMaltose =
    rates.maltoseRepressionGramPerLitre /
    (rates.maltoseRepressionGramPerLitre + state.maltoseGramPerLitre);
  return {
    yeastGramPerLitre: dropping
      ? -rates.dropping * state.yeastGramPerLitre
      : speed *
        awake *
        rates.growth *
        state.yeastGramPerLitre *
        (1 - state.yeastGramPerLitre / rates.mostYeastGramPerLitre),
    readiness: speed * rates.growth * state.readiness,
    glucoseGramPerLitre: uptake(state.glucoseGramPerLitre, rates.glucose),
    maltoseGramPerLitre: uptake(state.maltoseGramPerLitre, rates.maltose * freeOfGlucose),
    maltotrioseGramPerLitre: uptake(
      state.maltotrioseGramPerLitre,
      rates.maltotriose * freeOfGlucose * freeOfMaltose,
    ),
  };
};

const moved = (state: Fermenting, change: Fermenting, hours: number): Fermenting => ({
  yeastGramPerLitre: state.yeastGramPerLitre + hours * change.yeastGramPerLitre,
  // Readiness only ever matters as q/(1+q); held where that is 1, it cannot overflow.
  readiness: Math.min(1e6, state.readiness + hours * change.readiness),
  glucoseGramPerLitre: Math.max(0, state.glucoseGramPerLitre + hours * change.glucoseGramPerLitre),
  maltoseGramPerLitre: Math.max(0, state.maltoseGramPerLitre + hours * change.maltoseGramPerLitre),
  maltotrioseGramPerLitre: Math.max(
    0,
    state.maltotrioseGramPerLitre + hours * change.maltotrioseGramPerLitre,
  ),
});

/**
 * The state some time later, by the midpoint rule. The time constants are hours, so a step of a quarter
 * of an hour is exact to far below a sensor's noise.
 */
export const ferment = (
  state: Fermenting,
  conditions: {
    readonly temperatureCelsius: number;
    readonly hours: number;
    /** The yeast drops out early instead of growing. */
    readonly dropping: boolean;
  },
): Fermenting => {
  const { temperatureCelsius, hours, dropping } = conditions;
  const half = moved(state, changePerHour(state, temperatureCelsius, dropping), hours / 2);
  return moved(state, changePerHour(half, temperatureCelsius, dropping), hours);
};
