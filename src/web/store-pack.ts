/**
 * Hands the readings of one pack to the vessels that they name, once all of them are known and granted. Readings of
 * several vessels go to several objects: if the platform fails in between, the answer is 503 and re-sending is safe,
 * since a repeated reading changes nothing.
 */
import type { Admission } from '../storage/cellar-object.ts';
import { type Env, vesselStub } from '../storage/env.ts';
import type { ReceivedCounts } from '../storage/vessel-object.ts';
import type { Reading } from '../wire/readings.ts';
import { Refusal } from './fault.ts';

/** Who sends, and how to ask the cellar anew. */
export type Sender = {
  readonly admission: Admission;
  readonly renew: () => Promise<Admission>;
};

/** A vessel made within the last second may be missing from a remembered admission: ask again. */
const checkVessels = async (
  readings: readonly Reading[],
  { admission: { grant, vessels }, renew }: Sender,
): Promise<void> => {
  const forbidden = readings.find(
    ({ vessel }) => grant.vessels !== null && !grant.vessels.includes(vessel),
  );
  if (forbidden !== undefined)
    throw new Refusal({
      kind: 'vessel-not-granted',
      vessel: forbidden.vessel,
      record: forbidden.record,
    });
  if (readings.every(({ vessel }) => vessels.includes(vessel))) return;
  const renewed = (await renew()).vessels;
  const unknown = readings.find(({ vessel }) => !renewed.includes(vessel));
  if (unknown !== undefined)
    throw new Refusal({
      kind: 'vessel-not-listed',
      vessel: unknown.vessel,
      record: unknown.record,
    });
};

export const addCounts = (one: ReceivedCounts, other: ReceivedCounts): ReceivedCounts => {
  const thinned = (one.thinned ?? 0) + (other.thinned ?? 0);
  return {
    stored: one.stored + other.stored,
    repeated: one.repeated + other.repeated,
    corrected: one.corrected + other.corrected,
    ...(thinned === 0 ? {} : { thinned }),
  };
};

export const noCounts: ReceivedCounts = { stored: 0, repeated: 0, corrected: 0 };

export const storePack = async (
  env: Env,
  cellar: string,
  readings: readonly Reading[],
  sender: Sender,
  now: number,
): Promise<ReceivedCounts> => {
  await checkVessels(readings, sender);
  const counts = await Promise.all(
    [...Map.groupBy(readings, ({ vessel }) => vessel)].map(async ([vessel, own]) => {
      const stored = await vesselStub(env, cellar, vessel).record(
        own.map(({ channel, time, value }) => ({ channel, time, value })),
        now,
        sender.admission.grant.keyId,
      );
      if (stored === null)
        throw new Refusal({ kind: 'vessel-not-listed', vessel, record: own[0]?.record ?? 0 });
      if ('kind' in stored)
        throw new Refusal({
          kind: 'over-budget',
          vessel,
          retryAfterSeconds: stored.retryAfterSeconds,
        });
      return stored;
    }),
  );
  return counts.reduce(addCounts, noCounts);
};
