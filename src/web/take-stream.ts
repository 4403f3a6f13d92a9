/**
 * Takes a stream of SenML records over a body that may last for hours: what has arrived is stored and judged before
 * more is read, so memory is bounded and a slow disk slows the sender. Whatever ends the stream early is told with
 * what was stored before it, which stays.
 */
import { cellarNow } from '../storage/clock.ts';
import type { Env } from '../storage/env.ts';
import type { ReceivedCounts } from '../storage/vessel-object.ts';
import { readingsOf } from '../wire/readings.ts';
import type { SenmlRecord } from '../wire/senml.ts';
import { sensmlReader } from '../wire/sensml-read.ts';
import { textPieces } from './body.ts';
import { type Fault, Refusal } from './fault.ts';
import { addCounts, noCounts, type Sender, storePack } from './store-pack.ts';

export type StreamReport = ReceivedCounts & {
  /** Records of the stream, those among them that only set base fields. */
  readonly records: number;
};

/** Chosen by us: a year of ten channels once a minute. A stream past it is begun anew by its sender. */
const streamLimitBytes = 1024 ** 3;

/** A revoked key ends its stream after as long as an admission is trusted elsewhere. */
const trustedSeconds = 1;

/** The record for which nothing of a pack was stored. */
const refusedRecord = (fault: Fault): number | null => {
  switch (fault.kind) {
    case 'reading':
      return fault.fault.record;
    case 'vessel-not-granted':
    case 'vessel-not-listed':
      return fault.record;
    default:
      return null;
  }
};

export const takeStream = async (
  env: Env,
  cellar: string,
  request: Request,
  sender: Sender,
): Promise<StreamReport> => {
  const reader = sensmlReader();
  let counts = noCounts;
  let known = { ...sender, until: 0 };

  /** Stores what stands before the first record that is refused, and refuses then. */
  const store = async (records: readonly SenmlRecord[], now: number): Promise<void> => {
    try {
      await storeAll(records, now);
    } catch (error) {
      if (!(error instanceof Refusal)) throw error;
      const bad = refusedRecord(error.fault);
      const before = bad === null ? [] : records.filter(({ record }) => record < bad);
      if (before.length > 0) await storeAll(before, now);
      throw error;
    }
  };

  const storeAll = async (records: readonly SenmlRecord[], now: number): Promise<void> => {
    const readings = readingsOf(records, { now });
    if (!readings.ok) throw new Refusal({ kind: 'reading', fault: readings.fault });
    if (readings.value.length === 0) return;
    if (now > known.until || now < known.until - trustedSeconds)
      known = { ...known, admission: await sender.renew(), until: now + trustedSeconds };
    counts = addCounts(counts, await storePack(env, cellar, readings.value, known, now));
  };

  try {
    for await (const text of textPieces(request, streamLimitBytes)) {
      const now = await cellarNow(env);
      const { records, fault } = reader.take(text, now);
      await store(records, now);
      if (fault !== null) throw new Refusal({ kind: 'sensml', fault });
    }
    const fault = reader.end();
    if (fault !== null) throw new Refusal({ kind: 'sensml', fault });
    return { records: reader.read(), ...counts };
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    throw new Refusal({ kind: 'stream-ended', why: error.fault, counts });
  }
};
