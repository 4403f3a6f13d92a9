/** Over-pressure warned of, refermentation and leaks found. Definitions: fixtures/bench/score.py. Pure. */
import type { Answers } from './answers.ts';
import { count, per100, quantile, ratios } from './figures.ts';
import type { VesselLabel } from './labels.ts';

const graceSeconds = 3600;

/** Events in which an alarm of a kind is false. */
const calmFor = {
  leak: ['hold', 'diurnal', 'dispense', 'dispense_nogas', 'force_carb', 'spunding', 'vented'],
  refermentation: [
    'hold',
    'diurnal',
    'dispense',
    'dispense_nogas',
    'leak',
    'warmup',
    'force_carb',
    'vented',
  ],
} as const;

const warnings = (label: VesselLabel, answers: Answers): readonly number[] =>
  answers
    .of(label.batch)
    .alarms.filter(
      ({ at, kind }) =>
        kind === 'overpressure' && at >= label.t_start && at <= label.t_end + graceSeconds,
    )
    .map(({ at }) => at);

const found = (
  labels: readonly VesselLabel[],
  answers: Answers,
  event: string,
  wanted: 'refermentation' | 'leak',
) => {
  const own = labels.filter((label) => label.event === event);
  const delays = own.flatMap((label) => {
    const onset = label.onset ?? Number.NEGATIVE_INFINITY;
    const first = answers
      .of(label.batch)
      .alarms.find(({ at, kind }) => kind === wanted && at >= onset);
    return first === undefined ? [] : [(first.at - onset) / 3600];
  });
  const calm: readonly string[] = calmFor[wanted];
  const quiet = labels.filter((label) => calm.includes(label.event));
  return {
    n: own.length,
    detected: delays.length,
    delay_h_median: quantile(delays, 0.5),
    false_vessels: count(quiet, ({ batch }) =>
      answers.of(batch).alarms.some(({ kind }) => kind === wanted),
    ),
    of_quiet: quiet.length,
  };
};

type Crossings = { n: number; warned: number; leads: number[] };

export const scorePressure = (labels: readonly VesselLabel[], answers: Answers) => {
  const leads: number[] = [];
  const byEvent = new Map<string, Crossings>();
  let late = 0;
  let early = 0;
  const crossing = labels.filter(({ crossing_at }) => crossing_at !== null && crossing_at !== 0);
  for (const label of crossing) {
    const told = warnings(label, answers);
    const onset = label.onset ?? Number.NEGATIVE_INFINITY;
    const crosses = label.crossing_at ?? 0;
    const tally = byEvent.get(label.event) ?? { n: 0, warned: 0, leads: [] };
    byEvent.set(label.event, tally);
    tally.n += 1;
    if (told[0] !== undefined && told[0] < onset) early += 1;
    const right = told.find((at) => at >= onset && at <= crosses);
    if (right !== undefined) {
      const lead = (crosses - right) / 3600;
      leads.push(lead);
      tally.warned += 1;
      tally.leads.push(lead);
    } else if (told.some((at) => at > crosses)) late += 1;
  }
  const quiet = labels.filter((label) => label.quiet);
  const byQuiet = new Map<string, [number, number]>();
  for (const label of quiet) {
    const tally = byQuiet.get(label.event) ?? [0, 0];
    byQuiet.set(label.event, tally);
    tally[1] += 1;
    if (warnings(label, answers).length > 0) tally[0] += 1;
  }
  const other = labels.filter((label) => !label.quiet && !crossing.includes(label));
  const falsely = (label: VesselLabel): boolean => warnings(label, answers).length > 0;
  return {
    crossings: crossing.length,
    warned_before: leads.length,
    missed: crossing.length - leads.length,
    missed_but_late_alarm: late,
    premature_before_onset: early,
    warned_under_half_hour: count(leads, (lead) => lead < 0.5),
    lead_h_median: quantile(leads, 0.5),
    lead_h_p10: quantile(leads, 0.1),
    by_event: Object.fromEntries(
      [...byEvent]
        .toSorted(([a], [b]) => (a < b ? -1 : 1))
        .map(([event, { n, warned, leads: own }]) => [
          event,
          { n, warned, lead_h_median: quantile(own, 0.5) },
        ]),
    ),
    quiet_vessels: quiet.length,
    false_overpressure_per_100_quiet: per100(count(quiet, falsely), quiet.length),
    false_by_quiet_event: ratios(byQuiet),
    non_crossing_events: other.length,
    overpressure_on_non_crossing_events: count(other, falsely),
    refermentation: found(labels, answers, 'referment', 'refermentation'),
    leak: found(labels, answers, 'leak', 'leak'),
  };
};
