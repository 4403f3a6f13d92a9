/**
 * The whole story at Skerrow Yard through the monitoring alone, over several noises: what is said of each
 * vessel is exactly what the demo expects. No server, no clock; the end-to-end run is in running.test.ts.
 */
import { expect, test } from 'vitest';
import { stepSeconds } from '../../src/host/scenario/course.ts';
import { type DeedKind, deedFor } from '../../src/host/scenario/deed.ts';
import { expected } from '../../src/host/scenario/expected.ts';
import { simulatedCellar } from '../../src/host/scenario/simulated-cellar.ts';
import { batches, vessels } from '../../src/host/scenario/skerrow-yard.ts';
import { beginWatch, judge, type WatchState } from '../../src/monitoring/watch.ts';

const startAt = 1_800_000_000;
const steps = (14 * 86_400) / stepSeconds;

const toldOver = (seed: number): readonly string[] => {
  const cellar = simulatedCellar(seed);
  const states = new Map<string, WatchState>();
  const due: { readonly at: number; readonly deed: DeedKind }[] = [];
  const told: string[] = [];
  for (let index = 0; index < steps; index += 1) {
    const begins = startAt + index * stepSeconds;
    for (const { at, deed } of due) if (at <= begins) cellar.apply(deed);
    const { readings, endsAfterSeconds } = cellar.step();
    const now = startAt + endsAfterSeconds;
    for (const vessel of vessels) {
      const batch =
        batches(startAt).find((one) => one.vessel === vessel.vessel && one.startedAt <= now) ??
        null;
      const watched = { vessel, batch };
      const points = readings
        .filter((reading) => reading.vessel === vessel.vessel)
        .map(({ channel, afterSeconds, value }) => ({
          channel,
          time: startAt + afterSeconds,
          value,
        }));
      const state = states.get(vessel.vessel) ?? beginWatch(watched, now);
      const verdict = judge(watched, state, points, now);
      states.set(vessel.vessel, verdict.state);
      for (const { transition, at, alarm } of verdict.changes) {
        told.push(`${vessel.vessel} ${alarm.kind} ${transition}`);
        const deed = transition === 'raised' ? deedFor(vessel.vessel, alarm.kind) : null;
        if (deed !== null) due.push({ at: at + deed.afterHours * 3600, deed: deed.kind });
      }
      for (const { kind } of verdict.happenings) told.push(`${vessel.vessel} ${kind}`);
    }
  }
  return told.toSorted();
};

const wanted = expected
  .flatMap((one) =>
    one.kind === 'happening'
      ? [`${one.vessel} ${one.happening}`]
      : [
          `${one.vessel} ${one.alarm} raised`,
          ...(one.returns ? [`${one.vessel} ${one.alarm} returned`] : []),
        ],
  )
  .toSorted();

test.each([1, 2, 8, 9, 11])(
  'with the noise of seed %i',
  (seed) => {
    expect(wanted).toHaveLength(9);
    expect(toldOver(seed)).toEqual(wanted);
  },
  60_000,
);
