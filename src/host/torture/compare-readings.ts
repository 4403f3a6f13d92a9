/**
 * Lays what a store holds beside what was sent to it. It knows nothing of the store, so that it can be
 * shown to fail on one that forgets. Pure: no I/O, no clock.
 */
import type { WritableReading } from '../../wire/senml-write.ts';
import type { SentPack } from './ledger.ts';

export type ReadingFindings = {
  /** Readings in packs that were acknowledged; 0 would prove nothing. */
  readonly acknowledged: number;
  /** Readings in packs that never were; they may be stored or not. */
  readonly unacknowledged: number;
  readonly stored: number;
  /** Acknowledged readings that are not stored. */
  readonly missing: number;
  /** Stored more than once, counted once less than they are there. */
  readonly twice: number;
  /** Stored with another value than was sent. */
  readonly altered: number;
  /** Stored, and never sent. */
  readonly foreign: number;
};

const nameOf = ({ vessel, channel, time }: WritableReading): string =>
  `${vessel}/${channel}/${time}`;

export const compareReadings = (
  packs: readonly SentPack[],
  stored: readonly WritableReading[],
): ReadingFindings => {
  const sent = new Map<string, number>();
  const acknowledged = new Set<string>();
  for (const pack of packs)
    for (const reading of pack.readings) {
      sent.set(nameOf(reading), reading.value);
      if (pack.acknowledged) acknowledged.add(nameOf(reading));
    }
  const found = new Set<string>();
  let [twice, altered, foreign] = [0, 0, 0];
  for (const reading of stored) {
    const name = nameOf(reading);
    const value = sent.get(name);
    if (found.has(name)) twice += 1;
    else if (value === undefined) foreign += 1;
    else if (value !== reading.value) altered += 1;
    found.add(name);
  }
  return {
    acknowledged: acknowledged.size,
    unacknowledged: sent.size - acknowledged.size,
    stored: stored.length,
    missing: [...acknowledged].filter((name) => !found.has(name)).length,
    twice,
    altered,
    foreign,
  };
};

/** Nothing is wrong, and something was there to be wrong. */
export const readingsHold = (findings: ReadingFindings): boolean =>
  findings.acknowledged > 0 &&
  findings.missing === 0 &&
  findings.twice === 0 &&
  findings.altered === 0 &&
  findings.foreign === 0;

export const readingsInWords = (findings: ReadingFindings): string =>
  `${findings.acknowledged} acknowledged readings: ${findings.missing} missing, ${findings.twice} stored twice, ` +
  `${findings.altered} altered, ${findings.foreign} never sent; ${findings.unacknowledged} unacknowledged, ${findings.stored} stored`;
