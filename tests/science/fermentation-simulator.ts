/**
 * Simulated fermentations with the faults of field sensors, to examine forecasts against a known truth.
 *
 * Kinetics, by batch:
 * - D. A. Gee, W. F. Ramirez, J. Inst. Brew. 100 (1994) 321: glucose, maltose and maltotriose taken up in turn;
 *   constants read in two public copies of the model's code. Fitted at 8 to 16 °C, carried on to 22 °C here.
 * - B. de Andrés-Toro et al., Math. Comput. Simul. 48 (1998) 65: lagging, active and dying yeast;
 *   constants read in four public copies of the model's code.
 * - Nitrogen-limited growth and death by ethanol for must, the form of M. C. Coleman, R. Fish, D. E. Block,
 *   Appl. Environ. Microbiol. 73 (2007) 5875; form and constants from memory, spread widely.
 * Assumptions without source: the spread of every constant, a slowly fermented share of the extract, the time
 * course of temperature, and the sensor's noise, offset, drift, foam, outliers and gaps (orders of magnitude of
 * field devices).
 * Deterministic: every draw comes from the seed.
 */
export type Simulated = {
  readonly kind: 'ale' | 'lager' | 'wine';
  readonly originalGravity: number;
  readonly terminalGravity: number;
  readonly pitchedAt: number;
  /** When the true gravity comes within half a point of terminal. */
  readonly finishedAt: number;
  readonly endsAt: number;
  readonly trueGravityAt: (time: number) => number;
  /** Time at which this share of the fall is done. */
  readonly reachedAt: (share: number) => number;
  readonly times: readonly number[];
  readonly gravities: readonly number[];
  readonly noise: number;
  readonly measuredOriginal: number;
  /** An estimate beforehand, off by the standard deviation `estimateSd`. */
  readonly estimatedTerminal: number;
};

/** Measured original gravity against the true one: reading a hydrometer; assumption. */
export const originalSd = 0.0007;
/** Estimate of terminal gravity beforehand against the true one; assumption. */
export const estimateSd = 0.003;

export const randomFrom = (seed: number): (() => number) => {
  let state = seed >>> 0;
  return () => {
    // mulberry32, public domain (T. Ettinger).
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
};

export const normalFrom =
  (random: () => number): (() => number) =>
  () =>
    Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());

const stepHours = 0.05;

/** Fermentable extract left, as a share of what there was, every step. */
type Course = { readonly left: readonly number[] };

const arrhenius = (logFactor: number, energy: number, celsius: number): number =>
  Math.exp(logFactor - energy / (1.987e-3 * (celsius + 273.15)));

const threeSugars = (
  grams: number,
  temperature: (share: number) => number,
  rate: number,
  yeast: number,
  /** Scales the saturation constant of maltose: small ends sharply, 1 as published fades slowly. */
  saturation: number,
  /** Hours in which the yeast comes to its pace; the published model has none. */
  lagHours: number,
  shares: readonly [number, number, number],
  hours: number,
): Course => {
  let g = (grams * shares[0]) / 0.18;
  let m = (grams * shares[1]) / 0.342;
  let n = (grams * shares[2]) / 0.504;
  let x = yeast;
  const left: number[] = [];
  for (let at = 0; at < hours; at += stepHours) {
    const mass = 0.18 * g + 0.342 * m + 0.504 * n;
    left.push(mass / grams);
    const t = temperature(mass / grams);
    const blockG = arrhenius(23.33, 10.2, t);
    const blockM = arrhenius(55.61, 26.3, t);
    const open = blockG / (blockG + g);
    const u1 = (arrhenius(35.77, 22.6, t) * g) / (arrhenius(-121.3, -68.6, t) + g);
    const u2 =
      ((arrhenius(16.4, 11.3, t) * m) / (saturation * arrhenius(-19.15, -14.4, t) + m)) * open;
    const u3 =
      ((arrhenius(10.59, 7.16, t) * n) / (saturation * arrhenius(-26.78, -19.9, t) + n)) *
      open *
      (blockM / (blockM + m));
    const h = stepHours * rate * x * (1 - Math.exp(-((at / lagHours) ** 2)));
    const dg = Math.min(g, h * u1);
    const dm = Math.min(m, h * u2);
    const dn = Math.min(n, h * u3);
    g -= dg;
    m -= dm;
    n -= dn;
    x += 0.134 * dg + 0.268 * dm + 0.402 * dn;
  }
  return { left };
};

const laggingYeast = (
  grams: number,
  temperature: (share: number) => number,
  rate: number,
  hours: number,
): Course => {
  let lag = 2.4;
  let active = 0.08 + 0.4 * rate;
  let settling = 2;
  let s = grams;
  let ethanol = 0;
  const left: number[] = [];
  for (let at = 0; at < hours; at += stepHours) {
    left.push(s / grams);
    const t = temperature(s / grams) + 273.15;
    const growth = (Math.exp(108.31 - 31934.09 / t) * s) / (0.5 * grams + ethanol);
    const saturation = s / (Math.exp(-119.63 + 34203.95 / t) + s);
    const death = Math.exp(130.16 - 38313 / t);
    const waking = Math.exp(30.72 - 9501.54 / t);
    const sinking = (Math.exp(33.82 - 10033.28 / t) * 0.5 * grams) / (0.5 * grams + ethanol);
    const h = stepHours * rate;
    const taken = Math.min(s, h * Math.exp(-41.92 + 11654.64 / t) * saturation * active);
    const made =
      h * Math.exp(3.27 - 1267.24 / t) * saturation * active * (1 - ethanol / (0.5 * grams));
    const woken = h * waking * lag;
    lag -= woken;
    active += h * (growth - death) * active + woken;
    settling += h * (death * active - sinking * settling);
    s -= taken;
    ethanol += Math.max(0, made);
  }
  return { left };
};

const nitrogenLimited = (
  grams: number,
  rate: number,
  yeast: number,
  draw: () => number,
  hours: number,
): Course => {
  let x = yeast;
  let n = 0.12 + 0.15 * draw();
  let s = grams;
  const death = (0.5 + draw()) * 6e-5;
  const half = 3 + 17 * draw();
  const uptake = (0.35 + 0.3 * draw()) * rate;
  const left: number[] = [];
  for (let at = 0; at < hours; at += stepHours) {
    left.push(s / grams);
    const growth = ((0.14 * rate * n) / (0.01 + n)) * x;
    const ethanol = 0.47 * (grams - s);
    x += stepHours * (growth - death * ethanol * x);
    n = Math.max(0, n - (stepHours * growth) / 22);
    s = Math.max(0, s - stepHours * uptake * (s / (half + s)) * x);
  }
  return { left };
};

/** Adds a share of extract that is taken up slowly, from when the rest is mostly gone. */
const withSlowShare = (course: Course, share: number, perDay: number): Course => {
  let slow = 1;
  return {
    left: course.left.map((main) => {
      slow *= 1 - (stepHours / 24) * perDay * (1 - main) ** 2;
      return (1 - share) * main + share * slow;
    }),
  };
};

/** Holds the course for some hours where this share is left: a second sugar that waits for its enzymes. */
const withPause = (course: Course, share: number, pauseHours: number): Course => {
  const at = course.left.findIndex((left) => left <= share);
  if (at < 0) return course;
  const steps = Math.round(pauseHours / stepHours);
  const paused = Array.from({ length: steps }, () => course.left[at] as number);
  return {
    left: [...course.left.slice(0, at), ...paused, ...course.left.slice(at)].slice(
      0,
      course.left.length,
    ),
  };
};

export const simulate = (seed: number): Simulated => {
  const random = randomFrom(seed);
  const normal = normalFrom(random);
  const between = (low: number, high: number): number => low + (high - low) * random();
  const kindDraw = random();
  const kind = kindDraw < 0.55 ? 'ale' : kindDraw < 0.8 ? 'lager' : 'wine';
  const hours = 24 * (kind === 'ale' ? 21 : kind === 'lager' ? 35 : 30);
  const originalGravity =
    kind === 'wine' ? between(1.08, 1.105) : between(1.04, kind === 'ale' ? 1.085 : 1.062);
  const attenuation = kind === 'wine' ? between(1.02, 1.1) : between(0.64, 0.86);
  const terminalGravity = 1 + (originalGravity - 1) * (1 - attenuation);
  // A point of apparent fall is about 2.1 g/L of extract (Balling, rounded).
  const grams = 2100 * (originalGravity - terminalGravity);
  const rate = Math.exp(0.3 * normal());
  let course: Course;
  if (kind === 'wine') course = nitrogenLimited(grams, rate, between(0.15, 0.4), random, hours);
  else if (kind === 'ale' && random() < 0.4) {
    course = nitrogenLimited(grams, rate * 0.8, between(0.3, 1), random, hours);
  } else {
    const set = kind === 'ale' ? between(17, 21) : between(9.5, 13);
    const rise = kind === 'ale' ? between(0, 2.5) : between(0, 0.8);
    const rest = kind === 'lager' && random() < 0.5 ? between(2, 5) : 0;
    const restFrom = between(0.2, 0.45);
    // Self-heating follows the progress in the middle; a rest lifts the temperature late.
    const temperature = (left: number): number =>
      set + rise * 4 * left * (1 - left) + (left < restFrom ? rest : 0);
    if (kind === 'lager' && random() < 0.5) {
      course = laggingYeast(grams, temperature, rate * 1.2, hours);
    } else {
      const glucose = between(0.1, 0.22);
      const triose = between(0.12, 0.24);
      course = threeSugars(
        grams,
        temperature,
        rate * (kind === 'ale' ? 0.9 : 1.8),
        between(25, 150),
        between(0.15, 1),
        between(1, 24),
        [glucose, 1 - glucose - triose, triose],
        hours,
      );
    }
  }
  const slowShare = random() < 0.5 ? 0 : between(0.01, 0.08);
  if (slowShare > 0) course = withSlowShare(course, slowShare, between(0.25, 0.8));
  if (random() < 0.06) course = withPause(course, between(0.25, 0.7), between(10, 40));
  const { left } = course;
  const last = left.length - 1;
  const pitchedAt = 1_760_000_000 + Math.floor(1e7 * random());
  const fall = originalGravity - terminalGravity;
  const trueGravityAt = (time: number): number => {
    const at = Math.min(last, Math.max(0, (time - pitchedAt) / 3600 / stepHours));
    const before = Math.floor(at);
    const low = left[before] as number;
    const high = left[Math.min(last, before + 1)] as number;
    return terminalGravity + fall * (low + (high - low) * (at - before));
  };
  const when = (share: number): number => {
    const index = left.findIndex((value) => value <= share);
    return pitchedAt + 3600 * stepHours * (index < 0 ? last : index);
  };
  const finishedAt = when(0.0005 / fall);
  const endsAt = Math.min(pitchedAt + 3600 * hours, finishedAt + 86400 * between(2, 5));

  const samplingSeconds =
    ([300, 900, 900, 3600, 3600, 86400] as const)[Math.floor(6 * random())] ?? 900;
  const noise = Math.exp(between(Math.log(0.0003), Math.log(0.002)));
  const offset = 0.0013 * normal();
  const drift = random() < 0.5 ? 0 : 0.0001 * normal();
  const swing = 0.00015 * normal();
  const foamEnds: [number, number, number][] = [];
  for (let k = Math.floor(3 * random()); k > 0; k -= 1) {
    const from = pitchedAt + 86400 * between(0.7, 3.5);
    foamEnds.push([from, from + 3600 * between(0.3, 10), between(0.003, 0.014)]);
  }
  const gaps: [number, number][] = [];
  for (let k = Math.floor(2.4 * random()); k > 0; k -= 1) {
    const from = pitchedAt + 86400 * between(0.5, 9);
    gaps.push([from, from + 3600 * between(6, 24)]);
  }
  const outlierShare = random() < 0.5 ? 0.001 : 0.01;
  const times: number[] = [];
  const gravities: number[] = [];
  const first = pitchedAt + 3600 * between(0, 4);
  for (let at = first; at < endsAt; at += samplingSeconds) {
    if (gaps.some(([from, to]) => at >= from && at <= to)) continue;
    const days = (at - pitchedAt) / 86400;
    let value =
      trueGravityAt(at) +
      offset +
      drift * days +
      swing * Math.sin(2 * Math.PI * days) +
      noise * normal();
    for (const [from, to, size] of foamEnds)
      if (at >= from && at <= to) value += size * (0.5 + random());
    if (random() < outlierShare) value += (random() < 0.7 ? 1 : -1) * between(0.005, 0.045);
    times.push(Math.floor(at));
    gravities.push(Math.round(Math.max(0.96, value) * 10_000) / 10_000);
  }
  return {
    kind,
    originalGravity,
    terminalGravity,
    pitchedAt,
    finishedAt,
    endsAt,
    trueGravityAt,
    reachedAt: (share) => when(1 - share),
    times,
    gravities,
    noise,
    measuredOriginal: originalGravity + originalSd * normal(),
    estimatedTerminal: terminalGravity + estimateSd * normal(),
  };
};
