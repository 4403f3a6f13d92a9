/**
 * One simulated fermentation with its truth: how it ran, what went wrong, and when. Classes, causes and label
 * fields are those of fixtures/bench/README.md, so that one score serves both. Longer than 250 lines because a case and
 * its truth are drawn in one go.
 */
import type { Dice } from './dice.ts';
import { ferment, type Shock, type Sugars, type Yeast } from './kinetics.ts';

export type FermentationClass =
  | 'normal'
  | 'sluggish'
  | 'stalled'
  | 'restarted'
  | 'stuck_sensor'
  | 'sensor_silence';

export type FermentationCase = {
  readonly kind: 'ale' | 'lager' | 'wine';
  readonly class: FermentationClass;
  readonly subtype: string;
  readonly cause: string | null;
  /** Hours since pitching; null where it does not occur. */
  readonly causeHour: number | null;
  readonly stallHour: number | null;
  readonly earlyHour: number | null;
  readonly stallEndHour: number | null;
  readonly withinHalfHour: number | null;
  readonly att50Hour: number | null;
  readonly att75Hour: number | null;
  readonly hours: number;
  readonly stepHours: number;
  readonly originalPoints: number;
  readonly limitPoints: number;
  readonly terminalPoints: number;
  readonly startTemperature: number;
  /** True points, temperature and rate per step. */
  readonly points: Float64Array;
  readonly temperature: Float64Array;
  readonly rate: Float64Array;
};

const stepHours = 0.25;

type Manner = {
  readonly kind: 'ale' | 'lager' | 'wine';
  readonly original: number;
  readonly attenuation: number;
  readonly temperature: number;
  readonly peakHours: number;
  readonly sugars: Sugars;
  readonly yeast: Yeast;
};

/** Draws until the case is what its class says; null if that does not come about in many draws. */
export const fermentationCase = (roll: Dice, wanted: FermentationClass): FermentationCase => {
  for (let round = 0; round < 500; round += 1) {
    const found = drawn(roll, wanted);
    if (found !== null) return found;
  }
  throw new Error(`no ${wanted} came about`);
};

const manner = (roll: Dice, wanted: FermentationClass, subtype: string): Manner => {
  const kind = subtype.includes('lager') ? 'lager' : subtype.includes('wine') ? 'wine' : 'ale';
  const strong = subtype.includes('highgrav');
  const original =
    kind === 'wine' ? roll.uniform(82, 112) : strong ? roll.uniform(80, 105) : roll.uniform(38, 72);
  const attenuation =
    kind === 'wine'
      ? roll.normal(1.09, 0.02)
      : Math.min(0.86, Math.max(0.62, roll.normal(0.755, 0.05)));
  const slow = wanted === 'sluggish' ? roll.uniform(2.5, 6) : 1;
  const peakHours =
    slow *
    (kind === 'lager'
      ? roll.uniform(45, 110)
      : kind === 'wine'
        ? roll.uniform(60, 130)
        : roll.uniform(22, 75));
  const fold = roll.uniform(3, 6);
  const diauxic = subtype === 'diauxic';
  const glucose = diauxic
    ? roll.uniform(0.3, 0.5)
    : kind === 'wine'
      ? 0.95
      : roll.uniform(0.1, 0.25);
  const triose = kind === 'wine' ? 0 : roll.uniform(0.08, strong ? 0.3 : 0.22);
  const ferm = original * attenuation;
  return {
    kind,
    original,
    attenuation,
    temperature:
      kind === 'lager'
        ? roll.uniform(8.5, 12)
        : kind === 'wine'
          ? roll.uniform(17, 25)
          : roll.uniform(17, 22),
    peakHours,
    sugars: [glucose, 1 - glucose - triose, triose],
    yeast: {
      uptake: ferm / peakHours / fold,
      growthPerHour:
        (kind === 'lager' ? roll.uniform(0.05, 0.12) : roll.uniform(0.1, 0.25)) / Math.sqrt(slow),
      growthFold: fold,
      lossPerHour: roll.uniform(0.001, 0.014) / slow,
      hardy: roll.uniform(0.08, 0.5),
      ethanolLimitPercent: kind === 'wine' ? roll.uniform(17, 21) : roll.uniform(14, 20),
      coldestCelsius: kind === 'lager' ? roll.uniform(1, 3) : roll.uniform(4, 8),
      bestCelsius: kind === 'lager' ? roll.uniform(22, 26) : roll.uniform(27, 32),
      hottestCelsius: kind === 'lager' ? 33 : roll.uniform(37, 41),
      lagHours: roll.uniform(3, 18) * (wanted === 'sluggish' ? roll.uniform(1, 2.5) : 1),
      repressionPoints: roll.uniform(2, 15),
      turnHours: diauxic ? roll.uniform(8, 30) : 0,
      halfShare: roll.uniform(0.03, 0.13),
    },
  };
};

const subtypes = {
  normal: [
    'ale',
    'ale',
    'ale',
    'lager',
    'lager_gr',
    'wine',
    'highgrav',
    'diauxic',
    'diauxic',
    'ale_crash',
    'ale_step',
  ],
  sluggish: ['slug_ale', 'slug_wine', 'slug_lager'],
  stalled: [
    'tcrash_ale',
    'tcrash_lager',
    'hot_wine',
    'nut_ale',
    'nut_wine',
    'nut_highgrav',
    'tcrash_wine',
  ],
  restarted: ['re_tcrash_ale', 're_nut_ale', 're_tcrash_wine'],
  stuck_sensor: ['ale', 'lager', 'wine'],
  sensor_silence: ['ale', 'lager', 'wine'],
} as const satisfies Record<FermentationClass, readonly [string, ...string[]]>;

const drawn = (roll: Dice, wanted: FermentationClass): FermentationCase | null => {
  const subtype: string = roll.pick<string>(subtypes[wanted]);
  const way = manner(roll, wanted, subtype);
  const ferm = way.original * way.attenuation;
  const limit = way.original - ferm;
  const most = 1500;
  const steps = Math.ceil(most / stepHours);

  // Temperature by the room's and the brewer's hand; the heat of fermentation comes on top.
  const ramp = subtype.endsWith('_gr') || roll.chance(0.2) ? roll.uniform(2, 6) : 0;
  const stall = wanted === 'stalled' || wanted === 'restarted';
  const cause = !stall
    ? null
    : subtype.includes('tcrash')
      ? 'temperature_crash'
      : subtype.includes('hot')
        ? 'ethanol_temperature_shock'
        : 'nutrient_exhaustion';

  const free = ferment(way.yeast, ferm, way.sugars, () => way.temperature, stepHours, steps, null);
  const hourAt = (left: Float64Array, share: number): number | null => {
    const step = left.findIndex((points) => points <= ferm * (1 - share));
    return step < 0 ? null : step * stepHours;
  };
  const causeHour = cause === null ? null : hourAt(free.left, roll.uniform(0.25, 0.8));
  if (cause !== null && causeHour === null) return null;
  const rampHour = hourAt(free.left, roll.uniform(0.55, 0.85)) ?? most;
  const crashTo = Math.max(2, way.temperature - roll.uniform(6, 14));
  const crashTau = roll.uniform(3, 12);
  const hotTo = roll.uniform(32, 36);
  const hotFrom = (causeHour ?? 0) - roll.uniform(20, 60);
  const restHours = roll.uniform(70, 150);
  const roused = wanted === 'restarted' && causeHour !== null ? causeHour + restHours : null;
  const coldAtEnd = subtype === 'ale_crash' ? roll.uniform(1, 5) : null;
  const finish = hourAt(free.left, 0.99) ?? most;
  const coldFrom = finish + roll.uniform(30, 90);
  const wave = roll.uniform(0, 0.4);
  const heat = roll.uniform(0, 3.5);

  const plan = (hour: number): number => {
    let t = way.temperature + wave * Math.sin((2 * Math.PI * hour) / 24);
    if (ramp > 0 && hour > rampHour) t += ramp * Math.min(1, (hour - rampHour) / 40);
    if (cause === 'temperature_crash' && causeHour !== null && hour > causeHour) {
      t = crashTo + (t - crashTo) * Math.exp(-(hour - causeHour) / crashTau);
      if (roused !== null && hour > roused) {
        t = way.temperature + (t - way.temperature) * Math.exp(-(hour - roused) / 8);
      }
    }
    if (cause === 'ethanol_temperature_shock' && hour > hotFrom) {
      t += (hotTo - t) * (1 - Math.exp(-(hour - hotFrom) / 15));
    }
    if (coldAtEnd !== null && hour > coldFrom) {
      t = coldAtEnd + (t - coldAtEnd) * Math.exp(-(hour - coldFrom) / 10);
    }
    return t;
  };
  const lossRate =
    cause === 'nutrient_exhaustion' ? roll.uniform(0.012, 0.08) : roll.uniform(0.03, 0.12);
  const shock: Shock | null =
    cause === null || causeHour === null
      ? null
      : {
          rousedAt: roused,
          loss: (hour, t, ethanol) => {
            if (hour < causeHour || (roused !== null && hour > roused)) return 0;
            if (cause === 'temperature_crash') return t < crashTo + 3 ? lossRate : 0;
            if (cause === 'nutrient_exhaustion') return lossRate;
            return t > 31 ? lossRate * (ethanol / 12) : 0;
          },
        };
  // The heat of fermentation lifts the temperature with the rate of the undisturbed course.
  const peak = free.rate.reduce((most, rate) => Math.max(most, rate), 0);
  const warmed = (hour: number): number => {
    const rate = free.rate[Math.min(steps - 1, Math.round(hour / stepHours))] ?? 0;
    const calmed = causeHour !== null && hour > causeHour ? Math.exp(-(hour - causeHour) / 10) : 1;
    return plan(hour) + heat * (rate / peak) * calmed;
  };
  const course = ferment(way.yeast, ferm, way.sugars, warmed, stepHours, steps, shock);
  const points = course.left.map((left) => limit + left);

  const stopStep =
    roused !== null
      ? Math.floor(roused / stepHours)
      : Math.min(steps - 1, Math.floor(((causeHour ?? most) + 400) / stepHours));
  const stop = points[stopStep] ?? limit;
  const stallStep = stall ? points.findIndex((value) => value <= stop + 0.5) : -1;
  if (stall) {
    if (stop - limit < 6) return null;
    const stallHour = stallStep * stepHours;
    if (roused !== null && roused - stallHour < 48) return null;
    if (stallHour <= (causeHour ?? 0) || stallHour - (causeHour ?? 0) > 200) return null;
    if (way.original - stop < 0.2 * ferm) return null;
  }
  const half = points.findIndex((value) => value <= limit + 0.5);
  if (!stall || wanted === 'restarted') {
    if (half < 0) return null;
    if (
      wanted === 'sluggish'
        ? half * stepHours < 350
        : half * stepHours > (way.kind === 'ale' && subtype !== 'highgrav' ? 400 : 650)
    )
      return null;
    if (wanted === 'sluggish' && half * stepHours > 1100) return null;
    if (half * stepHours < 48) return null;
  }
  const hours = Math.min(
    most - 1,
    wanted === 'stalled'
      ? stallStep * stepHours + roll.uniform(90, 220)
      : half * stepHours + roll.uniform(40, 110),
  );
  const begin = points[0] ?? 0;
  const terminal = wanted === 'stalled' ? (points[Math.floor(hours / stepHours)] ?? stop) : limit;
  const fallen = (share: number): number | null => {
    const step = points.findIndex((value) => value <= begin - share * (begin - terminal));
    return step < 0 ? null : step * stepHours;
  };
  const ninety = points.findIndex((value) => value <= begin - 0.9 * (begin - stop)) * stepHours;
  return {
    kind: way.kind,
    class: wanted,
    subtype,
    cause,
    causeHour,
    stallHour: stall ? stallStep * stepHours : null,
    earlyHour: stall
      ? cause === 'nutrient_exhaustion'
        ? Math.max(causeHour ?? 0, ninety)
        : causeHour
      : null,
    stallEndHour: stall ? (roused ?? hours) : null,
    withinHalfHour: wanted === 'stalled' ? null : half * stepHours,
    att50Hour: fallen(0.5),
    att75Hour: fallen(0.75),
    hours,
    stepHours,
    originalPoints: way.original,
    limitPoints: limit,
    terminalPoints: terminal,
    startTemperature: way.temperature,
    points,
    temperature: Float64Array.from(points, (_value, step) => warmed(step * stepHours)),
    rate: course.rate,
  };
};
