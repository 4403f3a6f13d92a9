/**
 * Fermentation as a mass balance over three sugars and the active yeast, stepped by Euler's rule.
 *
 * Shape after Engasser, Marc, Moll and Duteurtre, Proc. EBC Congress 18 (1981) 579, and Gee and Ramirez,
 * J. Inst. Brew. 100 (1994) 321: each sugar is taken up by Monod kinetics, maltose waits for glucose and
 * maltotriose for maltose (repression). Growth is limited by nitrogen, activity falls with ethanol
 * (Luong, Biotechnol. Bioeng. 27 (1985) 280) and follows temperature by the cardinal model with inflection
 * (Rosso, Lobry, Bajard and Flandrois, Appl. Environ. Microbiol. 61 (1995) 610). Parameter values are ours,
 * drawn wide: they make cases, they claim nothing. Gravities are in points of 0.001.
 */

export type Yeast = {
  /** Uptake at full activity, points per hour per unit of yeast. */
  readonly uptake: number;
  readonly growthPerHour: number;
  /** Greatest multiple of the pitched yeast, set by nitrogen. */
  readonly growthFold: number;
  /** Share of the yeast that settles or dies per hour once growth is over. */
  readonly lossPerHour: number;
  /** Share that stays active to the very end. */
  readonly hardy: number;
  readonly ethanolLimitPercent: number;
  readonly coldestCelsius: number;
  readonly bestCelsius: number;
  readonly hottestCelsius: number;
  /** Hours before growth begins. */
  readonly lagHours: number;
  /** Points of sugar below which repression of the next sugar lifts. */
  readonly repressionPoints: number;
  /** Hours the yeast needs to turn to maltose once glucose is gone; 0 for most. */
  readonly turnHours: number;
  /** Half-saturation of uptake as a share of the fermentable points: the greater, the longer the tail. */
  readonly halfShare: number;
};

/** Shares of the fermentable points: glucose and fructose, maltose, maltotriose. */
export type Sugars = readonly [number, number, number];

export type Course = {
  /** Points above the attenuation limit that are left, per step. */
  readonly left: Float64Array;
  /** Points fermented per hour, per step. */
  readonly rate: Float64Array;
};

/** Rosso's cardinal temperature model: 1 at the best temperature, 0 at the coldest and the hottest. */
const cardinal = (t: number, cold: number, best: number, hot: number): number => {
  if (t <= cold || t >= hot) return 0;
  const top = (t - hot) * (t - cold) ** 2;
  const bottom =
    (best - cold) * ((best - cold) * (t - best) - (best - hot) * (best + cold - 2 * t));
  return Math.max(0, top / bottom);
};

export type Shock = {
  /** Share of the active yeast lost per hour at this step, from 0 to 1. */
  readonly loss: (hour: number, temperature: number, ethanolPercent: number) => number;
  /** Hour from which the lost yeast is replaced or roused; null if it never is. */
  readonly rousedAt: number | null;
};

export const ferment = (
  yeast: Yeast,
  fermentablePoints: number,
  sugars: Sugars,
  temperature: (hour: number) => number,
  stepHours: number,
  steps: number,
  shock: Shock | null,
): Course => {
  const left = new Float64Array(steps);
  const rate = new Float64Array(steps);
  let [glucose, maltose, triose] = sugars.map((share) => share * fermentablePoints) as [
    number,
    number,
    number,
  ];
  let active = 1;
  let grown = 1;
  let turned = yeast.turnHours === 0 ? 1 : 0;
  for (let step = 0; step < steps; step += 1) {
    const hour = step * stepHours;
    const t = temperature(hour);
    const warmth = cardinal(t, yeast.coldestCelsius, yeast.bestCelsius, yeast.hottestCelsius);
    const fermented = fermentablePoints - glucose - maltose - triose;
    // About 0.131 % vol per point: Balling's balance, linearised.
    const ethanol = fermented * 0.131;
    const vigour = Math.max(0, 1 - (ethanol / yeast.ethanolLimitPercent) ** 2);
    const sugar = glucose + maltose + triose;
    const awake = 1 / (1 + Math.exp(-(hour - yeast.lagHours) / (0.2 * yeast.lagHours + 1)));
    const growth =
      yeast.growthPerHour *
      awake *
      warmth *
      vigour *
      (1 - grown / yeast.growthFold) *
      (sugar / (sugar + 2));
    const shockLoss = shock === null ? 0 : shock.loss(hour, t, ethanol);
    const settles = grown > 0.7 * yeast.growthFold ? yeast.lossPerHour : 0;
    const floor = yeast.hardy * grown * (shock !== null && shockLoss > 0 ? 0 : 1);
    active +=
      stepHours * (growth * active - settles * Math.max(0, active - floor) - shockLoss * active);
    grown += stepHours * growth * grown;
    if (shock?.rousedAt !== null && shock?.rousedAt !== undefined && hour >= shock.rousedAt) {
      active += stepHours * 0.06 * Math.max(0, 0.5 * grown - active);
    }
    const power = yeast.uptake * active * awake * warmth * vigour;
    const half = yeast.halfShare * fermentablePoints;
    const lift = yeast.repressionPoints / (yeast.repressionPoints + glucose);
    if (turned < 1 && glucose < 0.1 * fermentablePoints * Math.max(0.05, sugars[0])) {
      turned = Math.min(1, turned + (stepHours / yeast.turnHours) * (0.05 + turned));
    }
    const lift3 = yeast.repressionPoints / (yeast.repressionPoints + maltose);
    const r1 = Math.min(glucose / stepHours, (power * glucose) / (half * 0.5 + glucose));
    const r2 = Math.min(maltose / stepHours, (power * turned * lift * maltose) / (half + maltose));
    const r3 = Math.min(
      triose / stepHours,
      (0.6 * power * turned * lift * lift3 * triose) / (half + triose),
    );
    left[step] = sugar;
    rate[step] = r1 + r2 + r3;
    glucose -= stepHours * r1;
    maltose -= stepHours * r2;
    triose -= stepHours * r3;
  }
  return { left, rate };
};
