/**
 * A floating gravity sensor with the faults of field devices, as fixtures/bench/README.md lists them: noise,
 * offset, drift, temperature bias, bubbles under lively fermentation, foam, outliers, gaps, lost and late
 * packets, a moved sensor, a stuck or silent one. Sizes are ours, chosen to span that list.
 */
import type { Dice } from './dice.ts';
import type { FermentationCase } from './fermentation-case.ts';

type Row = {
  readonly time: number;
  readonly gravity: number;
  readonly temperature: number;
  readonly headKilopascal: number | null;
  readonly flow: number | null;
};

export type Recorded = {
  /** In order of arrival. */
  readonly rows: readonly Row[];
  readonly samplingMinutes: number;
  readonly noiseSd: number;
  /** Unix seconds, from and to. */
  readonly gaps: readonly (readonly [number, number])[];
  readonly steps: readonly (readonly [number, number])[];
  readonly fault: { readonly type: string; readonly at: number; readonly until: number } | null;
};

export const record = (roll: Dice, run: FermentationCase, start: number): Recorded => {
  const samplingMinutes = roll.pick([5, 15, 15, 15, 60, 60, 60, 1440]);
  const sampling =
    run.class === 'stuck_sensor' || run.class === 'sensor_silence'
      ? roll.pick([5, 15, 60])
      : samplingMinutes;
  const noiseSd = roll.uniform(0.3, 2) * (sampling === 1440 ? 0.4 : 1);
  const offset = roll.normal(0, 1.3);
  const drift = roll.chance(0.4) ? roll.normal(0, 0.12) : roll.normal(0, 0.015);
  const perCelsius = roll.normal(0, 0.1);
  const bubbles = sampling === 1440 ? 0 : Math.max(0, roll.normal(2.5, 2));
  const quantum = roll.pick([0.1, 0.1, 0.1, 1]);
  const seconds = (hours: number): number => hours * 3600;
  const end = start + seconds(run.hours);

  const gaps: [number, number][] = [];
  while (roll.chance(0.5) && gaps.length < 4) {
    const at = start + seconds(roll.uniform(10, run.hours - 10));
    gaps.push([Math.round(at), Math.round(at + seconds(roll.uniform(5, 30)))]);
  }
  const outages = Array.from({ length: Math.floor(roll.uniform(0, 5)) }, () => {
    const at = start + seconds(roll.uniform(5, run.hours));
    return [at, at + seconds(roll.uniform(0.3, 3.4))] as const;
  });
  const steps: [number, number][] = [];
  if (roll.chance(0.2)) {
    steps.push([
      Math.round(start + seconds(roll.uniform(20, run.hours * 0.9))),
      roll.uniform(2, 8) * (roll.chance(0.5) ? 1 : -1),
    ]);
  }
  const spikes = Array.from({ length: Math.floor(roll.uniform(0, 4)) }, () => {
    const at = roll.uniform(8, 96);
    return {
      at,
      until: at + roll.uniform(1, 10),
      size: roll.uniform(3, 12) * (roll.chance(0.25) ? -0.5 : 1),
    };
  });
  const faultAt = (run.att50Hour ?? 40) * roll.uniform(0.5, 1.6);
  const faultUntil = faultAt + roll.uniform(24, 80);
  const fault =
    run.class === 'stuck_sensor' || run.class === 'sensor_silence'
      ? {
          type: run.class === 'stuck_sensor' ? 'stuck' : 'silent',
          at: Math.round(start + seconds(faultAt)),
          until: Math.round(start + seconds(faultUntil)),
        }
      : null;
  // A gap that runs into a silence is one silence with it, and its label would begin too late.
  const apart =
    fault?.type === 'silent'
      ? gaps.filter(([from, to]) => to < fault.at || from > fault.until)
      : gaps;
  const headed = roll.chance(0.5);
  const flowing = roll.chance(0.25);
  const headBase = roll.uniform(0, 0.5);
  const headScale = roll.uniform(0.8, 3);
  const flowScale = roll.uniform(0.5, 1);

  const made: { arrives: number; row: Row }[] = [];
  let held: number | null = null;
  for (
    let time = start + seconds(roll.uniform(0, 0.5));
    time < end;
    time += sampling * 60 * roll.normal(1, 0.015)
  ) {
    const at = Math.round(time);
    const hour = (time - start) / 3600;
    if (apart.some(([from, to]) => time >= from && time <= to)) continue;
    if (outages.some(([from, to]) => time >= from && time <= to)) continue;
    if (fault?.type === 'silent' && at >= fault.at && at <= fault.until) continue;
    if (roll.chance(sampling === 1440 ? 0.05 : 0.02)) continue;
    const step = Math.min(run.points.length - 1, Math.round(hour / run.stepHours));
    const truth = run.points[step] ?? 0;
    const rate = run.rate[step] ?? 0;
    const t = run.temperature[step] ?? 0;
    const moved = steps.reduce((sum, [from, size]) => sum + (time >= from ? size : 0), 0);
    const foam = spikes.reduce(
      (sum, spike) =>
        sum + (hour > spike.at && hour < spike.until ? spike.size * roll.uniform(0.3, 1.2) : 0),
      0,
    );
    const outlier = roll.chance(0.003) ? roll.normal(0, 25) : 0;
    let points =
      truth +
      offset +
      (drift * hour) / 24 +
      perCelsius * (t - 20) -
      Math.min(8, bubbles * rate) +
      moved +
      (sampling === 1440 ? 0 : foam) +
      outlier +
      roll.normal(0, noiseSd);
    points = Math.round(points / quantum) * quantum;
    if (fault?.type === 'stuck' && at >= fault.at && at <= fault.until) {
      held ??= points;
      points = held;
    }
    const flow = Math.max(0, rate * 10 * 2 * flowScale + roll.normal(0, 0.15));
    const row: Row = {
      time: at,
      gravity: 1 + points / 1000,
      temperature: t + roll.normal(0, 0.15),
      headKilopascal: headed
        ? headBase + 2.3 * (1 - Math.exp(-rate * headScale)) + roll.normal(0, 0.15)
        : null,
      flow: flowing ? flow : null,
    };
    const late = roll.chance(0.006) ? seconds(roll.uniform(0.2, roll.chance(0.3) ? 12 : 4)) : 0;
    made.push({ arrives: time + late, row });
    if (roll.chance(0.004)) made.push({ arrives: time + seconds(roll.uniform(0, 2)), row });
  }
  made.sort((a, b) => a.arrives - b.arrives);
  return {
    rows: made.map(({ row }) => row),
    samplingMinutes: sampling,
    noiseSd,
    gaps: apart,
    steps,
    fault,
  };
};
