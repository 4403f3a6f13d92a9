/**
 * The curves: the share of the fall still to come, as a function of x = rate · (time − place).
 *
 * - `logistic`: 1 / (1 + eˣ). Four parameters with the two gravities. ASBC Methods of Analysis, Yeast-14
 *   (equation from memory); R. A. Speers, P. Rogers, B. Smith, J. Inst. Brew. 109 (2003) 229. Place is the midpoint.
 * - `generalised-logistic`: (1 + ν·eˣ)^(−1/ν). F. J. Richards, J. Exp. Bot. 10 (1959) 290; the asymmetric fifth
 *   parameter for brewing is treated in Fermentation 7 (2021) 13. Place is the inflection; ν = 1 is the logistic.
 * - `lagged`: 1 until x = 0, then exp(−xᵏ). W. Weibull, J. Appl. Mech. 18 (1951) 293, with a location. Place is the
 *   end of the lag; k = 1 is the plain exponential, which very active yeast shows (Fermentation 7 (2021) 13).
 *
 * `shape` is ln ν or ln k. All three fall monotonically from 1 to 0 for any parameters within the bounds.
 * Pure: no I/O, no clock, no randomness.
 */
export const curveModels = ['logistic', 'generalised-logistic', 'lagged'] as const;

export type CurveModel = (typeof curveModels)[number];

/** Terminal gravity, fall, place (days), ln rate (1/day), and shape where the model has one. */
export const parameterCount = { logistic: 4, 'generalised-logistic': 5, lagged: 5 } as const;

/** Where the curve stands at x: the share left and its derivatives. Overwritten at each call. */
export type Standing = { left: number; byX: number; byShape: number };

/** Beyond this eˣ is taken out of the logarithm; both forms agree to rounding there. */
const large = 30;

export const standAt = (model: CurveModel, x: number, shape: number, into: Standing): void => {
  if (model === 'logistic') {
    const left = 1 / (1 + Math.exp(x));
    into.left = left;
    into.byX = -left * (1 - left);
    into.byShape = 0;
    return;
  }
  if (model === 'generalised-logistic') {
    const skew = Math.exp(shape);
    const log = x > large ? x + shape : Math.log1p(skew * Math.exp(x));
    const ratio = x > large ? 1 / skew : Math.exp(x) / (1 + skew * Math.exp(x));
    const left = Math.exp(-log / skew);
    into.left = left;
    into.byX = -left * ratio;
    into.byShape = left * (log / skew - ratio);
    return;
  }
  if (x <= 0) {
    into.left = 1;
    into.byX = 0;
    into.byShape = 0;
    return;
  }
  const power = Math.exp(shape);
  const log = Math.log(x);
  const gone = Math.exp(power * log);
  const left = Math.exp(-gone);
  into.left = left;
  into.byX = (-power * gone * left) / x;
  into.byShape = -gone * left * power * log;
};

/** The x at which this share (between 0 and 1, both excluded) is left. */
export const placeOf = (model: CurveModel, left: number, shape: number): number => {
  if (model === 'logistic') return Math.log1p(-left) - Math.log(left);
  if (model === 'generalised-logistic') {
    const stretched = -Math.exp(shape) * Math.log(left);
    return stretched > large ? stretched - shape : Math.log(Math.expm1(stretched)) - shape;
  }
  return (-Math.log(left)) ** Math.exp(-shape);
};
