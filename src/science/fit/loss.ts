/**
 * What a residual costs: plain squares, Huber's loss, or Tukey's bisquare, which gives up on far outliers.
 * P. J. Huber, Robust Statistics, Wiley 1981, sections 4.5 and 7.3 (Huber's function, iterated reweighting);
 * J. W. Tukey's biweight after F. R. Hampel et al., Robust Statistics, Wiley 1986, section 2.6.
 * All are written for a residual in units of its scale and agree with u² near zero.
 * Pure: no I/O, no clock, no randomness.
 */
export type Loss =
  | { readonly kind: 'squares' }
  | { readonly kind: 'huber'; readonly tuning: number }
  | { readonly kind: 'bisquare'; readonly tuning: number };

/** 95 % efficiency on normal residuals: Huber 1981 and Hampel 1986, from memory. Lower resists more, wastes more. */
export const huber: Loss = { kind: 'huber', tuning: 1.345 };
/** 95 % efficiency on normal residuals: Hampel 1986, from memory. Lower resists more, wastes more. */
export const bisquare: Loss = { kind: 'bisquare', tuning: 4.685 };

/** Cost of a scaled residual: u² for squares. */
export const cost = (loss: Loss, scaled: number): number => {
  const size = Math.abs(scaled);
  if (loss.kind === 'squares') return scaled * scaled;
  const limit = loss.tuning;
  if (loss.kind === 'huber') return size <= limit ? size * size : limit * (2 * size - limit);
  if (size >= limit) return (limit * limit) / 3;
  const left = 1 - (size / limit) ** 2;
  return ((limit * limit) / 3) * (1 - left * left * left);
};

/** Weight of a scaled residual in iterated reweighting: half the cost's derivative over the residual. */
export const weightOf = (loss: Loss, scaled: number): number => {
  if (loss.kind === 'squares') return 1;
  const size = Math.abs(scaled);
  if (loss.kind === 'huber') return size <= loss.tuning ? 1 : loss.tuning / size;
  if (size >= loss.tuning) return 0;
  const left = 1 - (size / loss.tuning) ** 2;
  return left * left;
};

/** Half the second derivative of the cost: how much of a residual's information survives. */
export const curvatureOf = (loss: Loss, scaled: number): number => {
  if (loss.kind === 'squares') return 1;
  const size = Math.abs(scaled);
  if (loss.kind === 'huber') return size <= loss.tuning ? 1 : 0;
  if (size >= loss.tuning) return 0;
  const square = (size / loss.tuning) ** 2;
  return (1 - square) * (1 - 5 * square);
};
