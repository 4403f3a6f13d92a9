/**
 * Stuck sensor: readings arrive, but their value is frozen. Pure: no I/O, no clock.
 */
import type { Channel } from '../../science/units/channel.ts';
import type { Finding } from '../finding.ts';
import { duration } from '../words/spoken.ts';
import { chanceOfRun, type Sameness } from './sameness.ts';

/**
 * Chance, as a power of ten, under which a run is no accident. Chosen by us: readings of a drink at rest are
 * not quite independent, so the bar is set far beyond what one alarm in a thousand batches would ask.
 */
const rarePower = -9;

/** And the run lasts at least this long. Chosen by us: shorter harms nobody, and some devices hold a value. */
const shortestSeconds = 6 * 3600;

/** Readings of these channels move by themselves while a batch is in the vessel; others may well rest. */
export const canBeStuck = (channel: Channel): boolean =>
  channel === 'gravity' || channel === 'density';

const isFrozen = (run: Sameness): boolean =>
  run.until - run.since >= shortestSeconds && chanceOfRun(run) <= rarePower;

/** Unix seconds, from and to, of a frozen run; null where there is none. */
export const frozenSpan = (run: Sameness | undefined): readonly [number, number] | null =>
  run !== undefined && isFrozen(run) ? [run.since, run.until] : null;

export const judgeStuck = (channel: Channel, run: Sameness): Finding => ({
  kind: 'stuck-sensor',
  channel,
  condition: isFrozen(run) ? 'holds' : 'clear',
  at: run.until,
  priority: 'low',
  onDelaySeconds: 0,
  offDelaySeconds: 0,
  words: () => ({
    evidence: isFrozen(run)
      ? `the last ${run.run} ${channel} readings, over ${duration(run.until - run.since)}, are all ${run.value}; ` +
        `before, ${run.repeats} of ${run.readings} repeated the one before them.`
      : `${channel} readings vary again.`,
    likelyCauses: [
      'the sensor is held fast by krausen, hops or the wall of the vessel',
      'the sensor has frozen, and its gateway repeats the last value',
    ],
    checkFirst: [
      'take a sample by hand and compare',
      'turn or rinse the sensor, and restart it',
      'do not trust forecasts made from this sensor since then',
    ],
    caution: null,
  }),
});
