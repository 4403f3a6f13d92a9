/**
 * Where a vessel's temperature is going: Newton's law of heating, T(t) = end + (begin - end) exp(-t / tau), fitted to
 * the readings for each of a row of time constants, and the time constants weighed by how well they fit.
 * What the readings do not yet tell, beliefs about rooms and vessels fill in. Pure: no I/O, no clock.
 */

export type WarmUp = {
  readonly now: number;
  /** One way it may go on: its weight, the end with its error, and the time constant. Weights add to 1. */
  readonly ways: readonly {
    readonly weight: number;
    readonly end: number;
    readonly endSd: number;
    readonly tauHours: number;
  }[];
};

/**
 * Time constants tried, and belief in them: a small keg in still air takes six hours, a tank of a thousand litres
 * two days. Assumption.
 */
const taus = [4, 6, 8, 11, 15, 20, 28, 40] as const;
const tauMiddle = 11;
const tauSpread = 0.55;

/** Belief in the temperature of the surroundings. Assumption: rooms people work and store in. */
const roomMiddle = 20;
const roomSd = 6;

/** Least scatter of a temperature reading that is believed. */
const leastScatter = 0.1;

/** Temperatures of the rise so far, oldest first, with the hours at which they were read; null if there are too few. */
export const warmUp = (
  hours: readonly number[],
  temperatures: readonly number[],
): WarmUp | null => {
  const count = hours.length;
  const first = hours[0];
  const last = hours[count - 1];
  if (count < 3 || first === undefined || last === undefined || last <= first) return null;
  const ways: { weight: number; end: number; endSd: number; tauHours: number; now: number }[] = [];
  const fits = taus.map((tauHours) => fitted(hours, temperatures, tauHours, last));
  const scatter = Math.max(
    leastScatter,
    Math.sqrt(Math.min(...fits.map(({ squares }) => squares)) / Math.max(1, count - 3)),
  );
  let greatest = Number.NEGATIVE_INFINITY;
  const logs = fits.map((fit, index) => {
    const tau = taus[index] ?? tauMiddle;
    const belief = -0.5 * (Math.log(tau / tauMiddle) / tauSpread) ** 2;
    // The end by the readings, joined with the belief in the room.
    const own = Math.max(0.05, scatter * fit.endError);
    const surprise = -0.5 * ((fit.end - roomMiddle) ** 2 / (own * own + roomSd * roomSd));
    const log =
      belief +
      surprise -
      fit.squares / (2 * scatter * scatter) +
      Math.log(own / Math.hypot(own, roomSd));
    greatest = Math.max(greatest, log);
    return { log, own, fit, tau };
  });
  let total = 0;
  for (const { log, own, fit, tau } of logs) {
    const weight = Math.exp(log - greatest);
    total += weight;
    const share = roomSd ** 2 / (own ** 2 + roomSd ** 2);
    ways.push({
      weight,
      end: share * fit.end + (1 - share) * roomMiddle,
      endSd: Math.sqrt(share) * own,
      tauHours: tau,
      now: fit.now,
    });
  }
  return {
    now: ways.reduce((sum, { weight, now }) => sum + weight * now, 0) / total,
    ways: ways.map(({ weight, end, endSd, tauHours }) => ({
      weight: weight / total,
      end,
      endSd,
      tauHours,
    })),
  };
};

/** Least squares of T = end + gap exp(-(t - last) / tau): linear in end and gap. */
const fitted = (
  hours: readonly number[],
  temperatures: readonly number[],
  tau: number,
  last: number,
): { end: number; endError: number; now: number; squares: number } => {
  let n = 0;
  let se = 0;
  let see = 0;
  let st = 0;
  let set = 0;
  for (let index = 0; index < hours.length; index += 1) {
    const e = Math.exp((last - (hours[index] ?? 0)) / tau);
    const t = temperatures[index] ?? 0;
    n += 1;
    se += e;
    see += e * e;
    st += t;
    set += e * t;
  }
  const determinant = Math.max(1e-9, n * see - se * se);
  const gap = (n * set - se * st) / determinant;
  const end = (st - gap * se) / n;
  let squares = 0;
  for (let index = 0; index < hours.length; index += 1) {
    const e = Math.exp((last - (hours[index] ?? 0)) / tau);
    squares += ((temperatures[index] ?? 0) - end - gap * e) ** 2;
  }
  return { end, endError: Math.sqrt(see / determinant), now: end + gap, squares };
};
